// The finished folder on this machine: the project's own server, started and stopped by a test.

import { spawn } from 'node:child_process';
import { cp, mkdtemp, readFile, readdir, rename, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../../../', import.meta.url));
const FOLDER = process.env.RACKWEEK_FOLDER ?? path.join(ROOT, 'dist');
const XTASK = process.env.RACKWEEK_XTASK ?? path.join(ROOT, 'target/debug/xtask');

/** Serves a folder; gives its address, and ways to stop it and to start it again at the same address. */
export async function serve({ folder = FOLDER, under = '/' } = {}) {
  let running = await launch(folder, under, 0);
  const { url, port } = running;
  return {
    url,
    origin: new URL(url).origin,
    async stop() {
      await running.stop();
    },
    /** Starts again at the same address, perhaps with another build. */
    async start(nextFolder = folder) {
      running = await launch(nextFolder, under, port);
    },
  };
}

async function launch(folder, under, port) {
  const child = spawn(XTASK, ['serve', '--folder', folder, '--port', String(port), '--under', under], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const ended = new Promise((resolve) => child.once('exit', resolve));
  const line = await new Promise((resolve, reject) => {
    let text = '';
    child.stdout.on('data', (part) => {
      text += part;
      const found = text.match(/Serving on http:\/\/localhost:(\d+)(\/\S*)/);
      if (found) resolve(found);
    });
    child.once('error', reject);
    ended.then((code) => reject(new Error(`the server ended with ${code} before it served`)));
  });
  return {
    url: `http://127.0.0.1:${line[1]}${line[2]}`,
    port: Number(line[1]),
    async stop() {
      child.kill();
      await ended;
    },
  };
}

/** The build's name, as the finished folder has it. */
export async function buildOf(folder = FOLDER) {
  const worker = await readFile(path.join(folder, 'sw.js'), 'utf8');
  const found = worker.match(/const BUILD = '([0-9a-f]{16})'/);
  if (!found) throw new Error('sw.js names no build');
  return found[1];
}

/**
 * Copies the finished folder as a newer build: another name everywhere, otherwise alike.
 * The caller removes the copy by the function that comes with it.
 */
export async function newerBuild() {
  const folder = await mkdtemp(path.join(tmpdir(), 'rackweek-build-'));
  await cp(FOLDER, folder, { recursive: true });
  const old = await buildOf(folder);
  const id = 'fedcba9876543210';
  for (const name of ['sw.js', 'index.html']) {
    const file = path.join(folder, name);
    await writeFile(file, (await readFile(file, 'utf8')).replaceAll(old, id));
  }
  await rename(path.join(folder, old), path.join(folder, id));
  return { folder, id, remove: () => rm(folder, { recursive: true, force: true }) };
}

/** Every file of the finished folder, as addresses relative to it. */
export async function filesOf(folder = FOLDER) {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(folder, path.join(entry.parentPath ?? entry.path, entry.name)))
    .map((name) => name.split(path.sep).join('/'))
    .sort();
}
