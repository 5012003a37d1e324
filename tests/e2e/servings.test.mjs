// Promise: an order says how many its cakes serve and how many pieces so many guests need; she decides.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, press, tryDemo } from './support/user.mjs';

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
      await page.getByLabel('Guests, to reckon with').fill('40');
      await cake.getByText('26 of 40 guests would get none of it.').waitFor();
      await pops.getByText(/^For 40 guests that is 0\.[36] each/).waitFor();
      await press(page, pops.getByRole('button', { name: 'Take 80 pops, 2 each' }));
      assert.equal(await pops.getByRole('textbox').first().inputValue(), '80');
      await pops.getByText('For 40 guests that is 2.0 each.').waitFor();
      assert.equal(await pops.getByRole('button', { name: /^Take / }).count(), 0);
      await pops.scrollIntoViewIfNeeded();
      await page.screenshot({ path: `${OUT}/servings-${size}.png` });
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
    });
  });
}
