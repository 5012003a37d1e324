// Promise: what an order lets be past its best is marked wherever the plan uses it: in the week, on its sheet, in the account.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { demandNoSidewaysScroll, goTo, openApp, planned, press, said, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

for (const [size, device] of [['tablet', DEVICES.tablet], ['phone', DEVICES.phone]]) {
  test(`what is past its best is marked in the week: ${size}`, async () => {
    await withApp({ device, acceptDownloads: true }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      await goTo(page, 'Keep safe');
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        press(page, page.getByRole('main').getByRole('button', { name: 'Export a backup' })),
      ]);
      const backup = JSON.parse(await readFile(await download.path(), 'utf8'));
      // One order of brownies for the second Saturday, and no baking in the four days before.
      const order = backup.records.find((record) => record.kind === 'order');
      const monday = new Date(`${backup.taken_at.slice(0, 10)}T12:00Z`);
      monday.setUTCDate(monday.getUTCDate() - ((monday.getUTCDay() + 6) % 7));
      const day = (after) => new Date(monday.getTime() + after * 86_400_000).toISOString().slice(0, 10);
      const [item] = order.body.items;
      Object.assign(order.body, { stage: 'confirmed', past_best: 96, handover: { at: `${day(12)}T18:00`, way: { how: 'collection' } } });
      order.body.items = [{ ...item, card: 'brownies', count: 12, spares: 0, options: {}, versions: {} }];
      const time = backup.records.find((record) => record.kind === 'time');
      time.body.exceptions = [8, 9, 10, 11, 12].map((after, at) => ({ id: at + 1, date: day(after), kind: { what: 'no-baking' }, label: 'away' }));
      // The demo's own plan is forgotten: its steps bear the same names.
      backup.records = backup.records.filter((record) => (record.kind !== 'order' || record === order) && record.kind !== 'shown');
      await page.getByLabel('Backup file').setInputFiles({
        name: 'away.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(backup)),
      });
      await press(page, page.getByRole('dialog', { name: 'Restore this backup?' }).getByRole('button', { name: 'Restore it' }));
      await said(page, 'Backup restored');
      await goTo(page, 'Week');
      await planned(page);
      await press(page, page.getByRole('button', { name: 'Next week' }));
      if (size === 'phone') await press(page, page.getByRole('group', { name: 'Day', exact: true }).getByRole('button', { name: /^Mon/ }));
      const marked = page.getByRole('button', { name: /past its best$/ });
      await marked.first().waitFor();
      await demandNoSidewaysScroll(page);
      await page.screenshot({ path: `${OUT}/past-best-week-${size}.png` });
      await marked.last().focus();
      await page.keyboard.press('Enter');
      const sheet = page.getByRole('dialog').filter({ hasText: 'past its best, which this order allows' });
      await sheet.waitFor();
      await sheet.getByText(/before the handover, which this order allows/).waitFor();
      await page.screenshot({ path: `${OUT}/past-best-sheet-${size}.png` });
      await demandAccessible(page);
      assert.match(await sheet.innerText(), /at most 2 days, up to 4 days past it for this order/);
      assert.equal(await sheet.getByText(/^Wrapped slabs .* past its best/).count(), 0, 'only what has to be');
    });
  });
}
