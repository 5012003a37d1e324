// Promise: when the program breaks, the page says so, writes nothing more, and hands out all that is kept.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';

import { withApp } from './support/browser.mjs';
import { goTo, openApp, press, saved, tryDemo } from './support/user.mjs';

const note = (page) => page.getByRole('alertdialog', { name: 'Rackweek has stopped' });

async function exported(page) {
  const download = page.waitForEvent('download');
  await press(page, note(page).getByRole('button', { name: 'Export everything' }));
  const file = await (await download).path();
  return JSON.parse(await readFile(file, 'utf8'));
}

test('after a panic the note shows, nothing is written, and the export is whole', async () => {
  await withApp({ acceptDownloads: true, allowErrors: true }, async ({ page, server, record }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Kitchen');
    await saved(page);
    // The browser refuses to make elements, which the framework does not expect.
    await page.evaluate(() => {
      window.refused = 0;
      const fail = () => {
        window.refused += 1;
        throw new Error('refused for the test');
      };
      document.createElement = fail;
      document.createElementNS = fail;
      document.createComment = fail;
      document.createTextNode = fail;
      document.importNode = fail;
      Node.prototype.cloneNode = fail;
    });
    await page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Order book' }).click();
    await note(page).waitFor();
    assert.ok((await page.evaluate(() => window.refused)) > 0, 'the fault was met');
    assert.ok(record.errors.some((text) => /panicked/.test(text)), `it was a panic: ${record.errors}`);

    await page.evaluate(() => {
      delete document.createElement;
    });
    const backup = await exported(page);
    assert.ok(backup.records.length > 3, `${backup.records.length} records`);
    await press(page, note(page).getByRole('button', { name: 'Start again' }));
    await page.locator('[data-save="Saved"]').waitFor();
    await goTo(page, 'Order book');
  });
});

test('when the compiled app cannot be loaded the note shows, with the export', async () => {
  await withApp({ acceptDownloads: true, allowErrors: true }, async ({ context, page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await page.waitForSelector('html[data-offline="ready"]', { state: 'attached' });
    await page.evaluate(async () => {
      for (const each of await navigator.serviceWorker.getRegistrations()) await each.unregister();
      for (const name of await caches.keys()) await caches.delete(name);
    });
    let broken = 0;
    await context.route('**/rackweek_bg.wasm', (route) => {
      broken += 1;
      return route.fulfill({ status: 200, contentType: 'application/wasm', body: 'not wasm' });
    });
    await page.goto(`${server.url}?page=orders`);
    await note(page).waitFor();
    assert.ok(broken > 0, 'the fault was met');
    const backup = await exported(page);
    assert.ok(backup.records.length > 3);
    await context.unroute('**/rackweek_bg.wasm');
    await press(page, note(page).getByRole('button', { name: 'Start again' }));
    await page.locator('[data-save="Saved"]').waitFor();
  });
});
