// Promise: the order book tells by month and by product what handed-over orders brought in, and finds an order among two
// thousand at once.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, press, said, saved, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

/** The demo's backup with so many more orders, all handed over, two a week back from the tests' day. */
async function withMany(page, many) {
  await goTo(page, 'Keep safe');
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    press(page, page.getByRole('main').getByRole('button', { name: 'Export a backup' })),
  ]);
  const backup = JSON.parse(await readFile(await download.path(), 'utf8'));
  const pattern = backup.records.find((record) => record.kind === 'order');
  const pricing = backup.records.find((record) => record.kind === 'pricing');
  for (let id = 1000; id < 1000 + many; id += 1) {
    const order = structuredClone(pattern);
    order.id = String(id);
    order.body.id = id;
    order.body.client = `Client ${id}`;
    order.body.stage = 'handed-over';
    const day = new Date(Date.UTC(2026, 10, 29) - (id - 1000) * 3.5 * 86_400_000);
    order.body.handover.at = `${day.toISOString().slice(0, 10)}T10:00`;
    backup.records.push(order);
    if (pricing) pricing.body.agreed[id] = 5000 + (id % 7) * 1000;
  }
  await page.getByLabel('Backup file').setInputFiles({
    name: 'many.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(backup)),
  });
  await press(page, page.getByRole('dialog').getByRole('button', { name: 'Restore it' }));
  await said(page, 'Backup restored');
  return Boolean(pricing);
}

for (const [size, device] of Object.entries({ tablet: DEVICES.tablet, phone: DEVICES.phone })) {
  test(`on a ${size} months and products tell what they brought in`, async () => {
    await withApp({ device, acceptDownloads: true }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      const priced = await withMany(page, 20);
      assert.ok(priced, 'the demo has prices');
      await goTo(page, 'Order book');
      await press(page, page.getByText('What it brought in'));
      const months = page.getByRole('region', { name: 'By month' }).getByRole('row');
      await months.nth(1).waitFor();
      const november = await months.nth(1).innerText();
      assert.match(november, /Nov 2026\s+\S*[\d,]+\.\d\d\s+9\s+\d+ h/);
      assert.ok(3 <= (await months.count()) - 1, 'September to November');
      const bars = await page.locator('.earned-bar').evaluateAll((all) => all.map((bar) => bar.getBoundingClientRect().width));
      assert.ok(Math.max(...bars) > 30);
      await page.getByRole('region', { name: 'By product' }).getByRole('row').nth(1).waitFor();
      await page.getByText('What it brought in').scrollIntoViewIfNeeded();
      await page.screenshot({ path: `${OUT}/earned-${size}.png` });
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
    });
  });
}

test('two thousand orders: one is found as it is typed', async () => {
  await withApp({ device: DEVICES.tablet, acceptDownloads: true }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await withMany(page, 2000);
    await goTo(page, 'Order book');
    await page.locator('.order-name').first().waitFor();
    assert.equal(await page.locator('.order-name').count(), 60, 'the others when they are asked for');
    await press(page, page.getByRole('button', { name: /^Show 60 more of 19\d\d$/ }));
    assert.equal(await page.locator('.order-name').count(), 120);
    await page.getByLabel('Search orders').fill('client 2777');
    await page.locator('.order-name').getByText('Client 2777', { exact: true }).waitFor();
    assert.equal(await page.locator('.order-name').count(), 1);
    await saved(page);
  });
});
