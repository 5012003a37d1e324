// Promise: an order keeps photos and sketches of what it should look like and of what was handed over; they are on disk
// before they show, come back from a backup, and no fault of theirs harms an order.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { photo } from './support/photo.mjs';
import {
  appReady,
  demandFingerSizes,
  demandNoSidewaysScroll,
  goTo,
  openApp,
  press,
  said,
  saved,
  tryDemo,
} from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;
const LIGHTHOUSE = photo('lighthouse.png', 2400, 1800, [200, 40, 40], [250, 250, 245]);
const PEARLS = photo('pearls.png', 900, 1600, [90, 120, 160], [230, 225, 220]);

const pictures = (page) => page.getByRole('list', { name: 'Pictures of this order' });
/** Pixels across and down of every picture of a list that is drawn. */
const drawn = (list) =>
  list.locator('img').evaluateAll(async (images) => {
    await Promise.all(images.map((image) => image.decode()));
    return images.map((image) => [image.naturalWidth, image.naturalHeight]);
  });

async function openOrder(page, client) {
  await goTo(page, 'Order book');
  await press(page, page.getByRole('link', { name: client }));
  await page.getByRole('heading', { name: 'What it should look like' }).waitFor();
}

async function saveOrder(page) {
  await press(page, page.getByRole('button', { name: 'Save order' }));
  await saved(page);
}

/** Draws a line across the sheet with the mouse, from and to shares of its sides. */
async function line(page, [x1, y1], [x2, y2]) {
  const box = await page.getByRole('img', { name: 'The sheet to draw on' }).boundingBox();
  await page.mouse.move(box.x + box.width * x1, box.y + box.height * y1);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * x2, box.y + box.height * y2, { steps: 8 });
  await page.mouse.up();
}

/** The colour in the middle of the sheet. */
const middle = (page) =>
  page.getByRole('img', { name: 'The sheet to draw on' }).evaluate((sheet) =>
    [...sheet.getContext('2d').getImageData(sheet.width / 2, sheet.height / 2, 1, 1).data].slice(0, 3),
  );

for (const [size, device] of Object.entries({ phone: DEVICES.phone, tablet: DEVICES.tablet })) {
  test(`photos are chosen, described, taken out and seen at the bench, on a ${size}`, async () => {
    await withApp({ device, colorScheme: size === 'phone' ? 'dark' : 'light' }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      await openOrder(page, 'Juno Hollis');
      await page.getByLabel('Choose pictures').setInputFiles([LIGHTHOUSE, PEARLS]);
      await pictures(page).getByRole('button').nth(1).waitFor();
      // Shrunk to what a tablet shows, each in its own shape.
      assert.deepEqual(await drawn(pictures(page)), [[1600, 1200], [900, 1600]]);
      await page.getByLabel('Choose pictures').setInputFiles([LIGHTHOUSE]);
      await said(page, 'This picture is here already');
      const letter = { name: 'letter.pdf', mimeType: 'application/pdf', buffer: Buffer.from('%PDF-1.7 no picture') };
      await page.getByLabel('Choose pictures').setInputFiles([letter]);
      await page.locator('#order-pictures-error').getByText('Letter.pdf is no picture that this browser can read').waitFor();
      assert.equal((await drawn(pictures(page))).length, 2);

      await press(page, pictures(page).getByRole('button').first());
      const large = page.getByRole('dialog', { name: 'Picture' });
      await large.getByLabel('What it shows').fill('Stripes halfway up');
      await page.keyboard.press('Enter');
      await large.waitFor({ state: 'hidden' });
      await pictures(page).getByRole('button', { name: 'Stripes halfway up' }).waitFor();
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
      await pictures(page).scrollIntoViewIfNeeded();
      await page.screenshot({ path: `${OUT}/pictures-form-${size}.png` });
      await press(page, pictures(page).getByRole('button').first());
      await demandAccessible(page);
      await page.screenshot({ path: `${OUT}/pictures-large-${size}.png` });
      await press(page, large.getByRole('button', { name: 'Close' }));

      // Not saved yet, and there again after a reload.
      await page.reload();
      await appReady(page);
      await page.getByText('This is what you had typed and not saved.').waitFor();
      assert.equal((await drawn(pictures(page))).length, 2);
      await saveOrder(page);
      await page.reload();
      await appReady(page);
      await openOrder(page, 'Juno Hollis');
      assert.deepEqual(await drawn(pictures(page)), [[1600, 1200], [900, 1600]]);
      await press(page, pictures(page).getByRole('button').nth(1));
      await press(page, large.getByRole('button', { name: 'Take it out' }));
      await said(page, 'Picture taken out');
      assert.equal((await drawn(pictures(page))).length, 1);
      await saveOrder(page);

      await goTo(page, 'Bench sheet');
      await page.clock.setFixedTime(new Date('2026-11-30T18:40:00Z'));
      await page.reload();
      await appReady(page);
      const beside = page.getByRole('list', { name: 'Pictures of this order' }).first();
      await beside.waitFor();
      await press(page, beside.getByRole('button', { name: 'Stripes halfway up' }));
      await large.waitFor();
      assert.equal(await large.getByLabel('What it shows').count(), 0, 'at the bench it is only looked at');
      await page.screenshot({ path: `${OUT}/pictures-bench-${size}.png` });
    });
  });
}

for (const [size, device] of Object.entries({ phone: DEVICES.phone, tabletUpright: DEVICES.tabletUpright })) {
  test(`a sketch is drawn, and drawn over a photo, on a ${size}`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      await openOrder(page, 'Wendel Fairweather');
      await press(page, page.getByRole('button', { name: 'Sketch', exact: true }));
      const pad = page.getByRole('dialog', { name: 'Sketch' });
      await press(page, pad.getByRole('button', { name: 'Blue' }));
      await press(page, pad.getByRole('button', { name: 'Broad' }));
      await line(page, [0.1, 0.5], [0.9, 0.5]);
      assert.deepEqual(await middle(page), [0x2f, 0x62, 0xb5]);
      await line(page, [0.5, 0.1], [0.5, 0.3]);
      await press(page, pad.getByRole('button', { name: 'Last line' }));
      assert.deepEqual(await middle(page), [0x2f, 0x62, 0xb5], 'the first line stays');
      await demandAccessible(page);
      await demandFingerSizes(page);
      await demandNoSidewaysScroll(page);
      await page.screenshot({ path: `${OUT}/pictures-pad-${size}.png` });
      // Closed by mistake, nothing is lost.
      await page.keyboard.press('Escape');
      await press(page, page.getByRole('button', { name: 'Sketch', exact: true }));
      assert.deepEqual(await middle(page), [0x2f, 0x62, 0xb5]);
      await press(page, pad.getByRole('button', { name: 'Keep the sketch' }));
      await pictures(page).getByRole('button').waitFor();
      assert.deepEqual(await drawn(pictures(page)), [[900, 1200]], 'a sheet stands as the device does');

      await page.getByLabel('Choose pictures').setInputFiles([LIGHTHOUSE]);
      await press(page, pictures(page).getByRole('button').nth(1));
      await press(page, page.getByRole('button', { name: 'Draw on it' }));
      await pad.waitFor();
      await page.waitForFunction(() => {
        const sheet = document.querySelector('dialog[open] canvas');
        return sheet.width === 1600 && sheet.getContext('2d').getImageData(400, 600, 1, 1).data[0] < 210;
      });
      await press(page, pad.getByRole('button', { name: 'Green' }));
      await line(page, [0.3, 0.5], [0.7, 0.5]);
      await press(page, pad.getByRole('button', { name: 'Keep the sketch' }));
      await pictures(page).getByRole('button').nth(2).waitFor();
      assert.deepEqual((await drawn(pictures(page)))[2], [1600, 1200], 'the photo stays beside it');
      await saveOrder(page);
    });
  });
}

test('a backup takes pictures along and brings them back', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await openOrder(page, 'Ottoline Marsh');
    await page.getByLabel('Choose pictures').setInputFiles([LIGHTHOUSE]);
    await pictures(page).getByRole('button').waitFor();
    await saveOrder(page);
    await goTo(page, 'Keep safe');
    const exported = async () => {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        press(page, page.getByRole('main').getByRole('button', { name: 'Export a backup' })),
      ]);
      return readFile(await download.path(), 'utf8');
    };
    const text = await exported();
    const backup = JSON.parse(text);
    const [[name, shown]] = Object.entries(backup.pictures);
    assert.match(name, /^[0-9a-f]{32}$/);
    assert.match(shown, /^data:image\/jpeg;base64,/);
    await page.getByText('With pictures (1)').tap();
    assert.equal(JSON.parse(await exported()).pictures, undefined);

    // Erased, and swept away at the next start.
    await press(page, page.getByRole('button', { name: 'Erase everything' }));
    await press(page, page.getByRole('dialog').getByRole('button', { name: 'Erase everything' }));
    await saved(page);
    await page.reload();
    await appReady(page);
    const held = () =>
      page.evaluate(
        () =>
          new Promise((resolve, reject) => {
            const asked = indexedDB.open('rackweek-pictures');
            asked.onerror = () => reject(asked.error);
            asked.onsuccess = () => {
              const keys = asked.result.transaction('records').objectStore('records').getAllKeys();
              keys.onsuccess = () => {
                asked.result.close();
                resolve(keys.result);
              };
            };
          }),
      );
    for (let tries = 0; tries < 50 && (await held()).length > 0; tries += 1) await page.waitForTimeout(100);
    assert.deepEqual(await held(), []);

    const choose = (content) =>
      page.getByLabel('Backup file').setInputFiles({
        name: 'backup.json',
        mimeType: 'application/json',
        buffer: Buffer.from(content),
      });
    await page.goto(`${server.url}?page=safe`);
    await appReady(page);
    const letters = shown.slice(40, 48);
    await choose(text.replace(letters, [...letters].reverse().join('')));
    await page.getByText(/pictures\.[0-9a-f]+: is damaged/).waitFor();
    assert.deepEqual(await held(), [], 'a damaged picture brings nothing in');
    await choose(text);
    const asks = page.getByRole('dialog', { name: 'Restore this backup?' });
    await asks.getByText('brings 1 picture', { exact: true }).waitFor();
    await press(page, asks.getByRole('button', { name: 'Restore it' }));
    await said(page, 'Backup restored');
    await openOrder(page, 'Ottoline Marsh');
    assert.deepEqual(await drawn(pictures(page)), [[1600, 1200]]);
  });
});

test('what is handed over is photographed, and a full device is said and harms no order', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    // Every write of a picture fails until it is let go.
    await page.addInitScript(() => {
      window.faults = 0;
      window.full = false;
      const put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (...given) {
        if (window.full && this.transaction.db.name === 'rackweek-pictures') {
          window.faults += 1;
          throw new DOMException('no room', 'QuotaExceededError');
        }
        return put.apply(this, given);
      };
    });
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Bench sheet');
    await page.clock.setFixedTime(new Date('2026-12-05T08:40:00Z'));
    await page.reload();
    await appReady(page);
    const out = page.getByRole('article', { name: /^Handover to / }).first();
    await page.evaluate(() => (window.full = true));
    await out.getByLabel('Take a picture').setInputFiles([PEARLS]);
    await said(page, 'The picture was not kept. The device has no room left');
    assert.ok((await page.evaluate(() => window.faults)) > 0, 'the fault fired');
    const handed = out.getByRole('list', { name: 'Pictures of the handover' });
    assert.equal(await handed.count(), 0);
    await page.evaluate(() => (window.full = false));
    await out.getByLabel('Take a picture').setInputFiles([PEARLS]);
    await handed.getByRole('button').waitFor();
    await saved(page);
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await demandAccessible(page);
    await handed.scrollIntoViewIfNeeded();
    await page.screenshot({ path: `${OUT}/pictures-handover-phone.png` });
    await page.reload();
    await appReady(page);
    assert.deepEqual(await drawn(handed), [[900, 1600]]);
  });
});
