// Draws the icons that must be pixels from the two drawings. Run it after a drawing has changed:
//   node tests/e2e/support/draw-icons.mjs

import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { chromium } from 'playwright-core';

import { OPTIONS } from './browser.mjs';
import { ROOT } from './server.mjs';

const FOLDER = path.join(ROOT, 'public/icons');

const browser = await chromium.launch(OPTIONS);
const draw = async (drawing, name, size) => {
  const page = await browser.newPage({ viewport: { width: size, height: size } });
  const svg = await readFile(path.join(FOLDER, drawing), 'utf8');
  await page.setContent(`<style>html,body{margin:0}svg{display:block;width:100vw}</style>${svg}`);
  await page.screenshot({ path: path.join(FOLDER, name), omitBackground: true });
  await page.close();
};
await draw('icon.svg', 'icon-192.png', 192);
await draw('icon.svg', 'icon-512.png', 512);
await draw('icon-maskable.svg', 'icon-maskable-512.png', 512);
// Tablets of one maker round the corners themselves and show transparency as black.
await draw('icon-maskable.svg', 'icon-180.png', 180);
await browser.close();
