// Promise: the order book tells by month and by product what handed-over orders brought in, and finds an order among two
// thousand at once.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { withMany } from './support/many.mjs';
import { demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, press, rowsDrawn, saved, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

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
    await rowsDrawn(page);
    assert.equal(await page.locator('.order-name').count(), 30, 'the others when they are asked for');
    await press(page, page.getByRole('button', { name: /^Show 30 more of 19\d\d$/ }));
    assert.equal(await page.locator('.order-name').count(), 60);
    await page.getByLabel('Search orders').fill('client 2777');
    await page.locator('.order-name').getByText('Client 2777', { exact: true }).waitFor();
    assert.equal(await page.locator('.order-name').count(), 1);
    await saved(page);
  });
});
