// Draws the icons that must be pixels from the two drawings. Run it after a drawing has changed:
//   node tests/e2e/support/draw-icons.mjs
// The drawings have few colours: each picture keeps a table of its own and one byte a pixel, a third of the bytes that
// a screenshot has.

import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { crc32, deflateSync } from 'node:zlib';
import { chromium } from 'playwright-core';

import { OPTIONS } from './browser.mjs';
import { ROOT } from './server.mjs';

const FOLDER = path.join(ROOT, 'public/icons');

/** Steps of each channel that are told apart where two colours meet; the drawings' own colours stay exact. */
const STEP = 24;

/** One part of a PNG file. */
function chunk(name, data) {
  const body = Buffer.concat([Buffer.from(name, 'latin1'), data]);
  const ends = Buffer.alloc(8);
  ends.writeUInt32BE(data.length, 0);
  ends.writeUInt32BE(crc32(body), 4);
  return Buffer.concat([ends.subarray(0, 4), body, ends.subarray(4)]);
}

/** A PNG file with a table of colours, of pixels of four bytes each. */
function picture(pixels, size) {
  const counts = new Map();
  for (let at = 0; at < pixels.length; at += 4) {
    const colour = pixels.subarray(at, at + 4).join();
    counts.set(colour, (counts.get(colour) ?? 0) + 1);
  }
  // What fills areas is kept; what only smooths an edge is rounded to one colour for many.
  const rounded = (colour) => {
    if (counts.get(colour) > pixels.length / 4 / 2000) return colour;
    return colour
      .split(',')
      .map((channel) => Math.min(255, Math.round(channel / STEP) * STEP))
      .join();
  };
  const table = new Map();
  const rows = Buffer.alloc((size + 1) * size);
  for (let at = 0; at < pixels.length; at += 4) {
    const colour = rounded(pixels.subarray(at, at + 4).join());
    if (!table.has(colour)) table.set(colour, table.size);
    const pixel = at / 4;
    rows[Math.floor(pixel / size) * (size + 1) + 1 + (pixel % size)] = table.get(colour);
  }
  if (table.size > 256) throw new Error(`${table.size} colours; make STEP greater`);
  const colours = [...table.keys()].map((colour) => colour.split(',').map(Number));
  const head = Buffer.alloc(13);
  head.writeUInt32BE(size, 0);
  head.writeUInt32BE(size, 4);
  head.set([8, 3, 0, 0, 0], 8);
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', head),
    chunk('PLTE', Buffer.from(colours.flatMap((colour) => colour.slice(0, 3)))),
    chunk('tRNS', Buffer.from(colours.map((colour) => colour[3]))),
    chunk('IDAT', deflateSync(rows, { level: 9 })),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

const browser = await chromium.launch(OPTIONS);
const draw = async (drawing, name, size) => {
  const page = await browser.newPage({ viewport: { width: size, height: size } });
  const svg = await readFile(path.join(FOLDER, drawing), 'base64');
  const pixels = await page.evaluate(
    async ([source, side]) => {
      const image = new Image();
      image.src = source;
      await image.decode();
      const canvas = Object.assign(document.createElement('canvas'), { width: side, height: side });
      const context = canvas.getContext('2d');
      context.drawImage(image, 0, 0, side, side);
      return [...context.getImageData(0, 0, side, side).data];
    },
    [`data:image/svg+xml;base64,${svg}`, size],
  );
  await writeFile(path.join(FOLDER, name), picture(Buffer.from(pixels), size));
  await page.close();
};
await draw('icon.svg', 'icon-192.png', 192);
await draw('icon.svg', 'icon-512.png', 512);
await draw('icon-maskable.svg', 'icon-maskable-512.png', 512);
// Tablets of one maker round the corners themselves and show transparency as black.
await draw('icon-maskable.svg', 'icon-180.png', 180);
await browser.close();
