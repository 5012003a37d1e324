// Promise: a week is handed on as a link that holds it; what is inside is seen before; it opens on any device, without a
// network after a visit, never touches the reader's own records, and what is damaged is refused in words.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import {
  TODAY,
  appReady,
  demandFingerSizes,
  demandNoSidewaysScroll,
  goTo,
  openApp,
  planned,
  press,
  said,
  saved,
  tryDemo,
} from './support/user.mjs';

const CLIPBOARD = { permissions: ['clipboard-read', 'clipboard-write'] };

async function demandGoodLooks(page) {
  await demandNoSidewaysScroll(page);
  await demandFingerSizes(page);
  await demandAccessible(page);
}

/** The demo's book, and the form for sharing its week. */
async function chooseWhat(page, server) {
  await openApp(page, server.url);
  await tryDemo(page);
  await goTo(page, 'Keep safe');
  await press(page, page.getByRole('button', { name: 'Choose what to share' }));
  await page.getByRole('button', { name: 'Copy the link' }).waitFor();
}

const linkIn = (page) => page.getByRole('textbox', { name: 'The link' }).inputValue();

/** Opens a link as somebody else does, counting how often records are opened. */
async function openLink(context, link) {
  const page = await context.newPage();
  await page.clock.setFixedTime(TODAY);
  await page.addInitScript(() => {
    window.opened = 0;
    const open = indexedDB.open.bind(indexedDB);
    IDBFactory.prototype.open = (...names) => {
      window.opened += 1;
      return open(...names);
    };
  });
  await page.goto(link);
  await page.getByRole('heading', { level: 1, name: 'Shared week' }).waitFor();
  return page;
}

test('a link is copied in four taps, and opens on another device with what was shown and no more', async () => {
  let link;
  let inside;
  await withApp({ ...CLIPBOARD }, async ({ page, server, browser }) => {
    await chooseWhat(page, server);
    // Three so far, from the week: the page, the form, and this.
    await press(page, page.getByRole('button', { name: 'Copy the link' }));
    await said(page, 'Link copied');
    link = await page.evaluate(() => navigator.clipboard.readText());
    assert.equal(link, await linkIn(page));
    assert.ok(link.startsWith(`${new URL(server.url).origin}/`) && link.length < 2000, link);
    inside = await page.getByRole('region', { name: 'What is inside' }).getByRole('listitem').allInnerTexts();
    assert.ok(inside.length > 15, `${inside.length}`);
    const clients = await page.evaluate(() =>
      [...document.querySelectorAll('[aria-label="Orders"] bdi')].map((name) => name.textContent),
    );
    assert.ok(clients.length >= 3, `${clients}`);
    await demandGoodLooks(page);

    const phone = await browser.newContext({ ...DEVICES.phone, locale: 'en-GB', timezoneId: 'America/New_York' });
    const other = await openLink(phone, link);
    assert.deepEqual(await other.getByRole('listitem').allInnerTexts(), inside, 'what was shown, in the kitchen’s time');
    const text = await other.locator('body').innerText();
    for (const name of clients.flatMap((client) => client.split(' '))) assert.ok(!text.includes(name), name);
    await demandNoSidewaysScroll(other);
    await demandFingerSizes(other);
    await demandAccessible(other);

    // Ticks stay on this device: after a reload, and nowhere else.
    await press(other, other.getByRole('checkbox').nth(2));
    await other.getByText(/^1 of \d+ ticked$/).waitFor();
    await other.reload();
    assert.ok(await other.getByRole('checkbox').nth(2).isChecked());
    assert.equal(await other.evaluate(() => window.opened), 0, 'no records were opened');
    assert.deepEqual(await other.evaluate(() => Object.keys(localStorage)), ['rackweek.shared-ticks']);
    assert.deepEqual(await other.evaluate(() => indexedDB.databases()), []);
    await phone.close();
  });
});

test('a reader’s own book is as it was, and a link pasted over an open page opens too', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server, context }) => {
    await chooseWhat(page, server);
    const link = await linkIn(page);
    const kept = () =>
      page.evaluate(
        () =>
          new Promise((resolve, reject) => {
            const opening = indexedDB.open('rackweek');
            opening.onerror = () => reject(opening.error);
            opening.onsuccess = () => {
              const all = opening.result.transaction('records').objectStore('records').getAll();
              all.onsuccess = () => {
                opening.result.close();
                resolve(JSON.stringify(all.result));
              };
            };
          }),
      );
    const before = await kept();
    assert.ok(before.length > 1000);
    const other = await openLink(context, link);
    await press(other, other.getByRole('checkbox').first());
    assert.equal(await other.evaluate(() => window.opened), 0);
    assert.equal(await kept(), before, 'nothing of it was changed');

    await press(other, other.getByRole('link', { name: 'My own Rackweek' }));
    await appReady(other);
    assert.equal(new URL(other.url()).hash, '');
    await other.evaluate((to) => {
      window.location.href = to;
    }, link);
    await other.getByRole('heading', { level: 1, name: 'Shared week' }).waitFor();
    assert.ok(await other.getByRole('checkbox').first().isChecked(), 'ticked before, and still');
    assert.equal(await kept(), before);
  });
});

test('days, orders, themes, allergies and a word are chosen, and only what is chosen is inside', async () => {
  await withApp({ device: DEVICES.phone, colorScheme: 'dark' }, async ({ page, server, context }) => {
    await chooseWhat(page, server);
    const rows = page.getByRole('region', { name: 'What is inside' }).locator('.shared-row');
    const all = await rows.count();
    const days = page.getByRole('group', { name: 'Days' }).getByRole('button');
    assert.ok((await days.count()) > 3);
    await press(page, days.first());
    assert.equal(await days.first().getAttribute('aria-pressed'), 'false');
    const fewer = await rows.count();
    assert.ok(fewer < all, `${fewer} of ${all}`);
    const orders = page.getByRole('group', { name: 'Orders' }).getByRole('button');
    await press(page, orders.first());
    assert.ok((await rows.count()) < fewer);
    await press(page, orders.first());
    assert.equal(await rows.count(), fewer);

    const inside = page.getByRole('region', { name: 'What is inside' });
    assert.match(await inside.innerText(), /Allergies, as noted/);
    await press(page, page.getByLabel('Hand on allergies'));
    assert.doesNotMatch(await inside.innerText(), /Allergies/);
    await press(page, page.getByLabel('Name orders by their theme too'));
    await page.getByLabel('A word to the helper').fill('Keys are in the blue pot');
    await page.getByLabel('A word to the helper').blur();
    await inside.getByText('Keys are in the blue pot').waitFor();
    await demandGoodLooks(page);

    // Everything from today on is more than this week.
    await page.getByLabel('Which week').selectOption({ label: 'All that is planned from today' });
    assert.ok((await rows.count()) > fewer);
    const other = await openLink(context, await linkIn(page));
    assert.equal(await other.getByRole('checkbox').count(), await rows.count());
    await other.getByText('Keys are in the blue pot').waitFor();

    await press(page, days.first());
    for (let index = 1; index < (await orders.count()); index += 1) await press(page, orders.nth(index));
    await press(page, orders.first());
    await page.getByText('Nothing happens on these days for these orders.').waitFor();
    assert.equal(await page.getByRole('button', { name: 'Copy the link' }).count(), 0);
  });
});

test('a code is drawn dark on light, and the device’s own sheet is asked with the link', async () => {
  await withApp({ colorScheme: 'dark' }, async ({ page, server }) => {
    await page.addInitScript(() => {
      navigator.share = async (what) => {
        window.sent = what;
      };
    });
    await chooseWhat(page, server);
    await press(page, page.getByRole('button', { name: 'Send …' }));
    await page.waitForFunction(() => window.sent !== undefined);
    assert.equal((await page.evaluate(() => window.sent)).url, await linkIn(page));
    await press(page, page.getByRole('button', { name: 'Show a QR code' }));
    const code = page.getByRole('img', { name: 'The link as a QR code' });
    await code.scrollIntoViewIfNeeded();
    const { width, height } = await code.boundingBox();
    assert.ok(width >= 400 && Math.abs(width - height) < 1, `${width} × ${height}`);
    const colours = await code.evaluate((drawing) => [
      getComputedStyle(drawing).backgroundColor,
      getComputedStyle(drawing.querySelector('path')).fill,
    ]);
    assert.deepEqual(colours, ['rgb(255, 255, 255)', 'rgb(0, 0, 0)']);
    await demandGoodLooks(page);
  });
});

test('a link opens without a network after one visit, and a damaged one says so in words', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server, context }) => {
    await chooseWhat(page, server);
    await saved(page);
    const link = await linkIn(page);
    await page.locator('html[data-offline="ready"]').waitFor();
    await context.setOffline(true);
    const other = await openLink(context, link);
    assert.ok((await other.getByRole('checkbox').count()) > 15);

    const at = link.indexOf('#');
    const changed = (index) => link.slice(0, index) + (link[index] === 'A' ? 'B' : 'A') + link.slice(index + 1);
    for (const [wrong, words] of [
      [changed(at + 40), /damaged on its way/],
      [link.slice(0, -1), /damaged on its way/],
      [`${link}A`, /damaged on its way/],
      [link.replace('#w1.', '#w2.'), /another version of Rackweek/],
      [link.replace('#w1.', '#q1.'), /holds no week/],
      [`${link.slice(0, at)}#<img src=x onerror=alert(1)>`, /holds no week/],
      [`${link}${'A'.repeat(70_000)}`, /more than any week does/],
    ]) {
      const broken = await openLink(context, wrong);
      await broken.getByText(words).waitFor();
      assert.equal(await broken.getByRole('checkbox').count(), 0, 'nothing of it is shown');
      assert.equal(await broken.evaluate(() => window.opened), 0);
      await broken.close();
    }
    await context.setOffline(false);
    await goTo(page, 'Week');
    await planned(page);
  });
});
