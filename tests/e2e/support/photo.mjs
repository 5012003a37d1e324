// Photos as a camera makes them, for tests: PNG files (ISO/IEC 15948) of two colours, written with node alone.

import { crc32, deflateSync } from 'node:zlib';

function chunk(name, body) {
  const head = Buffer.alloc(4);
  head.writeUInt32BE(body.length);
  const tail = Buffer.alloc(4);
  tail.writeUInt32BE(crc32(Buffer.concat([Buffer.from(name), body])));
  return Buffer.concat([head, Buffer.from(name), body, tail]);
}

/** A file to be chosen: `across` × `down` pixels, one colour on the left and one on the right, each `[r, g, b]`. */
export function photo(name, across, down, left, right) {
  const line = Buffer.alloc(1 + 3 * across);
  for (let x = 0; x < across; x += 1) line.set(x < across / 2 ? left : right, 1 + 3 * x);
  const head = Buffer.alloc(13);
  head.writeUInt32BE(across, 0);
  head.writeUInt32BE(down, 4);
  head.set([8, 2, 0, 0, 0], 8);
  const buffer = Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk('IHDR', head),
    chunk('IDAT', deflateSync(Buffer.concat(Array(down).fill(line)))),
    chunk('IEND', Buffer.alloc(0)),
  ]);
  return { name, mimeType: 'image/png', buffer };
}
