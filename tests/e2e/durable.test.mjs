// Promise: what was shown as saved is there again, whatever happens to the page or the browser, and two
// windows do not overwrite each other.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';

import { withApp, withProfile } from './support/browser.mjs';
import { appReady, enterOrder, goTo, openApp, planned, press, said, saved, tryDemo } from './support/user.mjs';

const mixers = (page) => page.getByLabel('Mixers', { exact: true });

/** Changes the number of mixers and waits until that is on disk. */
async function setMixers(page, number) {
  await goTo(page, 'Kitchen');
  await mixers(page).fill(String(number));
  await mixers(page).blur();
  await saved(page);
}

test('killed right after “Saved”, the browser opens with everything that was saved', async () => {
  await withProfile({}, async ({ server, open, kill }) => {
    let { page } = await open();
    await openApp(page, server.url);
    await tryDemo(page);
    for (const number of [2, 3, 4, 1, 3]) {
      await setMixers(page, number);
      const killed = await kill();
      assert.ok(killed > 0, 'a process was ended');
      ({ page } = await open());
      await openApp(page, server.url);
      await goTo(page, 'Kitchen');
      assert.equal(await mixers(page).inputValue(), String(number), `change to ${number}`);
      await goTo(page, 'Order book');
      assert.ok((await page.getByRole('main').getByRole('listitem').count()) > 1, 'the orders are there');
    }
  });
});

test('without a network a new order is entered, planned, and found again', async () => {
  await withApp({}, async ({ context, page, server, record }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await page.waitForSelector('html[data-offline="ready"]', { state: 'attached' });
    await context.setOffline(true);
    await server.stop();
    await page.reload();
    await appReady(page);
    await goTo(page, 'Order book');
    await press(page, page.getByRole('button', { name: 'New order' }));
    await enterOrder(page, {
      client: 'Offline Otto',
      date: '2026-12-12',
      time: '15:00',
      items: [['Cupcakes', 12]],
    });
    await said(page, 'Order for Offline Otto saved');
    await goTo(page, 'Week');
    await planned(page);

    const second = await context.newPage();
    await second.clock.setFixedTime(new Date('2026-11-30T07:00:00Z'));
    await second.goto(`${server.url}?page=orders`);
    await second.getByRole('link', { name: 'Offline Otto' }).waitFor();
    assert.ok(record.requests.length > 0);
    await context.setOffline(false);
    await server.start();
  });
});

test('a second window follows, cannot write, and can take over', async () => {
  await withApp({}, async ({ context, page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    const second = await context.newPage();
    await openApp(second, server.url);
    await second.getByText('Another window is writing.').waitFor();

    await setMixers(page, 3);
    await goTo(second, 'Kitchen');
    await second.waitForFunction(
      () => [...document.querySelectorAll('label')].some((l) => l.textContent === 'Mixers' && l.control?.value === '3'),
    );

    await mixers(second).fill('2');
    await mixers(second).blur();
    await second.getByText(/press “Take over here”/).first().waitFor();
    await page.waitForTimeout(500);
    assert.equal(await mixers(page).inputValue(), '3', 'the follower wrote nothing');

    await press(second, second.getByRole('button', { name: 'Take over here' }));
    await page.getByText('Another window is writing.').waitFor();
    await second.getByText('Another window is writing.').waitFor({ state: 'detached' });
    await mixers(second).fill('4');
    await mixers(second).blur();
    await saved(second);
    await page.waitForFunction(
      () => [...document.querySelectorAll('label')].some((l) => l.textContent === 'Mixers' && l.control?.value === '4'),
    );

    // When the writer goes, the other takes over by itself.
    await second.close();
    await page.getByText('Another window is writing.').waitFor({ state: 'detached' });
    await setMixers(page, 2);
  });
});

test('a backup holds everything and brings it back after all was erased', async () => {
  await withApp({ acceptDownloads: true }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await setMixers(page, 4);
    await goTo(page, 'Keep safe');
    const download = page.waitForEvent('download');
    await press(page, page.getByRole('button', { name: 'Export a backup' }));
    const file = await (await download).path();
    const backup = JSON.parse(await readFile(file, 'utf8'));
    assert.ok(JSON.stringify(backup).includes('Decorated') || JSON.stringify(backup).includes('decorated-cookies'));

    await press(page, page.getByRole('button', { name: 'Erase everything' }));
    await press(page, page.getByRole('dialog').getByRole('button', { name: 'Erase everything' }));
    await said(page, 'Everything erased');
    await saved(page);
    await page.reload();
    await appReady(page);
    await page.getByRole('button', { name: 'Try the demo' }).or(page.getByLabel('Backup file')).first().waitFor();
    await page.goto(`${server.url}?page=safe`);
    await appReady(page);
    await page.getByLabel('Backup file').setInputFiles(file);
    await press(page, page.getByRole('dialog').getByRole('button', { name: 'Restore it' }));
    await said(page, 'Backup restored');
    await goTo(page, 'Kitchen');
    assert.equal(await mixers(page).inputValue(), '4');
  });
});

test('a backup of another device only adds what is missing, and Undo takes it out again', async () => {
  await withApp({ acceptDownloads: true }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Keep safe');
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      press(page, page.getByRole('main').getByRole('button', { name: 'Export a backup' })),
    ]);
    const backup = JSON.parse(await readFile(await download.path(), 'utf8'));
    // The other device has an order under a number that another one has here, one more, and not the rest.
    const first = backup.records.find((record) => record.kind === 'order');
    const other = structuredClone(first);
    other.body.client = 'Wren Ashby';
    const more = structuredClone(first);
    more.id = '900';
    more.body.id = 900;
    more.body.client = 'Odd Larsen';
    backup.records = [...backup.records.filter((record) => record.kind !== 'order'), other, more];
    const choose = () => page.getByLabel('Backup file').setInputFiles({
      name: 'other.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(backup)),
    });
    await choose();
    const dialog = page.getByRole('dialog', { name: 'Restore this backup?' });
    await dialog.getByText(/removes \d+ orders/).waitFor();
    await dialog.getByLabel('Only add what is missing here').check();
    await dialog.getByText(/adds 2 orders/).waitFor();
    assert.equal(await dialog.getByText(/removes/).count(), 0);
    await press(page, dialog.getByRole('button', { name: 'Restore it' }));
    await said(page, 'Backup restored');
    await goTo(page, 'Order book');
    for (const client of ['Wren Ashby', 'Odd Larsen', first.body.client]) {
      await page.locator('.order-name').getByText(client, { exact: true }).waitFor();
    }
    await page.locator('header').getByRole('button', { name: /^Undo/ }).click();
    await page.locator('.order-name').getByText('Odd Larsen').waitFor({ state: 'detached' });
  });
});

test('after two weeks without a backup one is asked for, and "Later" waits as long again', async () => {
  await withApp({ acceptDownloads: true }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await saved(page);
    const asks = page.getByText(/^No backup for \d+ days\./);
    const on = async (day) => {
      await page.clock.setFixedTime(new Date(`2026-12-${day}T07:00:00Z`));
      await page.reload();
      await appReady(page);
      await page.getByRole('heading', { level: 1 }).first().waitFor();
    };
    assert.equal(await asks.count(), 0, 'not on the first day');
    await on('13');
    assert.equal(await asks.count(), 0, 'nor on the thirteenth');
    await on('14');
    await page.getByText('No backup for 14 days.').waitFor();
    await press(page, page.getByRole('button', { name: 'Later', exact: true }));
    await asks.waitFor({ state: 'detached' });
    await on('27');
    assert.equal(await asks.count(), 0);
    await on('28');
    await asks.waitFor();
    await page.screenshot({ path: new URL('out/backup-asked.png', import.meta.url).pathname });
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      press(page, page.locator('.banner', { has: asks }).getByRole('button', { name: 'Export a backup' })),
    ]);
    assert.ok(await download.path());
    await asks.waitFor({ state: 'detached' });
  });
});
