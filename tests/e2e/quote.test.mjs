// Promise: beside an order stands what it costs, what is asked and what an hour earns; a budget is met by forms that are
// priced again; and the words for the client are ready.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import {
  demandFingerSizes,
  demandNoSidewaysScroll,
  goTo,
  openApp,
  press,
  saved,
  tryDemo,
} from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;
const cents = (text) => Math.round(Number(text.replace(/[^\d.-]/g, '')) * 100);

async function write(page, label, text) {
  const field = page.getByLabel(label, { exact: true });
  await field.fill(text);
  await field.blur();
  return field;
}

/** Opens the first planned order of the demo with its quote. */
async function openQuote(page, server) {
  await openApp(page, server.url);
  await tryDemo(page);
  await goTo(page, 'Order book');
  await press(page, page.getByRole('link', { name: 'Ottoline Marsh' }));
  await press(page, page.locator('details.quote > summary'));
  await page.getByRole('table', { name: 'Prices side by side' }).waitFor();
}

const way = async (page, name) => {
  const row = page.getByRole('table', { name: 'Prices side by side' }).getByRole('row').filter({ hasText: name });
  return (await row.getByRole('cell').allInnerTexts()).map(cents);
};

for (const [size, device] of Object.entries({ phone: DEVICES.phone, tablet: DEVICES.tablet })) {
  test(`costs, prices side by side, a budget and words for the client, on a ${size}`, async () => {
    await withApp({ device, colorScheme: size === 'phone' ? 'dark' : 'light' }, async ({ page, server }) => {
      await openQuote(page, server);
      await page.getByText(/No price is known for .*: it costs at least this/).waitFor();
      const [total, left, hour] = await way(page, 'By its costs');
      assert.ok(total > 0 && left > 0 && hour > 2000, `${total} ${left} ${hour}: more than her rate with a margin`);

      // Her own price below the costs says so.
      await write(page, 'Your price, before tax', 'dear');
      await page.getByText('“dear” is not a price; write for example 120.00').waitFor();
      await write(page, 'Your price, before tax', '10');
      await page.getByText('less than it costs').waitFor();
      const own = await way(page, 'Your price');
      assert.equal(own[0], 1000);
      assert.ok(own[1] < 0);
      await saved(page);

      // Tax and rates change everything at once.
      await press(page, page.getByText('What you count with'));
      await write(page, 'Tax on top of the price', '8.25');
      assert.equal((await way(page, 'Your price'))[0], 1083, '10.00 and 8.25 % are 10.83');
      await write(page, 'Tax on top of the price', 'much');
      await page.getByText('is not understood; write for example 8.25', { exact: false }).waitFor();
      await write(page, 'Currency', 'euro');
      await page.getByText(/three capital letters; write for example EUR/i).waitFor();
      await write(page, 'Currency', 'EUR');
      await page.getByRole('table', { name: 'Prices side by side' }).getByText('€10.83').waitFor();
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);

      await press(page, page.getByText('Words for the client'));
      const quote = await page.getByLabel('Quote', { exact: true }).inputValue();
      assert.match(quote, /^Quote for /);
      assert.match(quote, /Good to know\n- .*Contains: .*Made in a home kitchen/s);
      assert.match(quote, /Price: €10\.00\nTax: €0\.83\nTotal: €10\.83/);
      assert.match(quote, /A deposit of €5\.42 confirms the order; the balance of €5\.41 is due by/);
      assert.match(await page.getByLabel('Confirmation', { exact: true }).inputValue(), /^Confirmation of your order for /);
      await page.getByLabel('Your terms, at the end of each').fill('Changes until a week before.');
      await page.getByLabel('Your terms, at the end of each').blur();
      await press(page, page.getByLabel('With prices'));
      const bare = await page.getByLabel('Confirmation', { exact: true }).inputValue();
      assert.doesNotMatch(bare, /€|Deposit/);
      assert.match(bare, /\n\nChanges until a week before\.\n$/);
      await page.getByLabel('Quote', { exact: true }).scrollIntoViewIfNeeded();
      await page.screenshot({ path: `${OUT}/letter-${size}.png` });
      await demandFingerSizes(page);
      await demandAccessible(page);

      // Without a price of her own the budget is held against what is asked.
      await write(page, 'Your price, before tax', '');
      const asked = (await way(page, 'By its costs'))[0];
      await write(page, 'The client’s budget, with tax', String(Math.floor(asked / 100) - 1));
      const cheaper = page.getByRole('list', { name: 'What meets the budget' });
      await cheaper.getByRole('listitem').first().waitFor();
      for (const text of await cheaper.getByRole('listitem').allInnerTexts()) {
        assert.ok(cents(text.match(/€[\d.,]+/)[0]) < asked, text);
      }
      await demandNoSidewaysScroll(page);
      await press(page, cheaper.getByRole('button', { name: 'Take it' }).first());
      await page.getByText('The order as it is costs no more than that.').waitFor();
    });
  });
}
