// Texts over which pages, files and spreadsheets have stumbled, each short enough for a name. The library's tests of files
// read the same list.

import { readFile } from 'node:fs/promises';

export const HOSTILE = JSON.parse(await readFile(new URL('../../data/hostile.json', import.meta.url), 'utf8'));
