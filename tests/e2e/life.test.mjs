// Promise: the demo's five orders go from "could you make that again?" to handed over by touch alone: asked for, quoted,
// confirmed, placed in the week, handed over.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { DEVICES, withApp } from './support/browser.mjs';
import { demandNoSidewaysScroll, goTo, openApp, planned, press, said, saved, sittings, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

/** The row of an order by its client and day. */
const row = (page, client, day) => page.getByRole('listitem').filter({ hasText: client }).filter({ hasText: day });

async function change(page, client, day, to) {
  const one = row(page, client, day);
  const button = one.getByRole('button', { name: to, exact: true });
  if (!(await button.isVisible())) await press(page, one.locator('summary', { hasText: 'Change' }));
  await press(page, button);
}

test('five orders from enquiry to handed over, by touch', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await planned(page);
    await goTo(page, 'Order book');
    const clients = await page.locator('.order-name').allInnerTexts();
    assert.equal(clients.length, 5, clients.join());
    // Each asks for the same again, on days of their own three weeks ahead.
    const days = ['2026-12-17', '2026-12-18', '2026-12-19', '2026-12-20', '2026-12-21'];
    const shown = (date) => `${Number(date.slice(8))} Dec`;
    for (const [at, client] of clients.entries()) {
      const first = page.locator('.order-row').filter({ hasText: client }).first();
      await press(page, first.locator('summary', { hasText: 'Change' }));
      await press(page, first.getByRole('button', { name: 'Again for another day', exact: true }));
      await page.getByRole('heading', { level: 2, name: 'New order' }).waitFor();
      await page.getByLabel('Date', { exact: true }).fill(days[at]);
      const asked = page.getByRole('group', { name: 'Stage' }).getByRole('button', { name: 'Enquiry' });
      assert.equal(await asked.getAttribute('aria-pressed'), 'true');
      await press(page, page.getByRole('button', { name: 'Save order' }));
      await said(page, `Order for ${client} saved`);
      await row(page, client, shown(days[at])).locator('.badge', { hasText: 'Enquiry' }).waitFor();
    }
    for (const [at, client] of clients.entries()) {
      await change(page, client, shown(days[at]), 'Quoted');
      await said(page, `${client}: quoted`);
      await change(page, client, shown(days[at]), 'Confirmed');
      await said(page, `${client}: confirmed`);
    }
    await saved(page);
    // All ten of them, and what was there before, stand in the weeks ahead.
    await goTo(page, 'Week');
    await planned(page);
    let placed = 0;
    for (let week = 0; week < 3; week += 1) {
      placed += await sittings(page).count();
      await demandNoSidewaysScroll(page);
      if (week < 2) await press(page, page.getByRole('button', { name: 'Next week' }));
    }
    assert.ok(20 < placed, `${placed} sittings`);
    await page.screenshot({ path: `${OUT}/life-week.png` });
    await goTo(page, 'Order book');
    for (const [at, client] of clients.entries()) {
      await change(page, client, shown(days[at]), 'Handed over');
      await said(page, `${client}: handed over`);
      await row(page, client, shown(days[at])).locator('.badge', { hasText: 'Handed over' }).waitFor();
    }
    await saved(page);
    await press(page, page.getByRole('group', { name: 'Show stage' }).getByRole('button', { name: /^Handed over/ }));
    assert.equal(await page.locator('.order-row').count(), 5);
    await demandNoSidewaysScroll(page);
  });
});
