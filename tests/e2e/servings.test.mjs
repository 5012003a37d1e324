// Promise: an order says how many its cakes serve and how many pieces so many guests need; she decides.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, press, said, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

for (const [size, device] of Object.entries({ tablet: DEVICES.tablet, phone: DEVICES.phone })) {
  test(`on a ${size} cakes say whom they serve, pieces how many are each guest's, and a proposal is taken`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      await goTo(page, 'Order book');
      await press(page, page.getByRole('button', { name: 'New order' }));
      const add = (name) => press(page, page.getByRole('list', { name: 'Products' }).getByRole('button', { name, exact: true }));
      await add('Tall layer cake');
      const cake = page.getByRole('group', { name: 'Tall layer cake', exact: true });
      // 15 cm, four layers of 45 mm: 8 small slices, times 18 ÷ 10.16 when cut across.
      await cake.getByText(/Serves about \d+ in party slices of 4 × 5 cm, 8 in small ones of 2\.5 × 5 cm, 14 if each is cut across; \d+ as wedges\./).waitFor();
      await press(page, cake.getByText('Where these numbers come from'));
      await cake.getByText(/by geometry.*common practice, no published source/).waitFor();
      await add('Cake pops');
      const pops = page.getByRole('group', { name: 'Cake pops', exact: true });
      await page.getByLabel('Guests', { exact: true }).fill('40');
      await cake.getByText('26 of 40 guests would get none of it.').waitFor();
      await pops.getByText(/^For 40 guests that is 0\.[36] each/).waitFor();
      await press(page, pops.getByRole('button', { name: 'Take 80 pops, 2 each' }));
      assert.equal(await pops.getByRole('textbox').first().inputValue(), '80');
      await pops.getByText('For 40 guests that is 2.0 each.').waitFor();
      assert.equal(await pops.getByRole('button', { name: /^Take / }).count(), 0);
      // What is no number is refused at its field; limits of quality give way by so many hours, and it shows.
      const past = page.getByLabel('May be past its best by');
      await past.fill('200');
      await page.getByLabel('Client', { exact: true }).fill('Ines Toller');
      await page.getByLabel('Date', { exact: true }).fill('2026-12-19');
      await page.getByLabel('Time', { exact: true }).fill('15:00');
      await press(page, page.getByRole('button', { name: 'Save order' }));
      await page.locator('#order-past-best-error', { hasText: '200 hours are too many; write 0 to 168, for example 12' }).waitFor();
      await past.fill('12');
      await press(page, page.getByRole('button', { name: 'Save order' }));
      await said(page, 'Order for Ines Toller saved');
      await goTo(page, 'Order book');
      const row = page.getByRole('listitem').filter({ hasText: 'Ines Toller' });
      await row.getByText('for 40 guests').waitFor();
      await row.getByText('May be 12 h past its best').waitFor();
      await press(page, row.getByRole('link', { name: 'Ines Toller' }));
      assert.equal(await page.getByLabel('Guests', { exact: true }).inputValue(), '40', 'kept with the order');
      await page.getByLabel('May be past its best by').scrollIntoViewIfNeeded();
      await page.screenshot({ path: `${OUT}/past-best-${size}.png` });
      await pops.scrollIntoViewIfNeeded();
      await page.screenshot({ path: `${OUT}/servings-${size}.png` });
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
    });
  });
}
