// Promise: before an order is promised the form says what it holds; what clashes with a named allergy is answered first.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { demandFingerSizes, demandNoSidewaysScroll, enterOrder, goTo, openApp, press, said, saved, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

for (const [device, scheme] of [['phone', 'dark'], ['tablet', 'light']]) {
  test(`a clash with a named allergy stops the order until it is answered: ${device}`, async () => {
    await withApp({ device: DEVICES[device], colorScheme: scheme }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      await goTo(page, 'Order book');
      await press(page, page.getByRole('button', { name: 'New order' }));
      await page.getByLabel('Allergies', { exact: true }).fill('One child: no eggs');
      await press(page, page.getByRole('group', { name: 'Stage' }).getByRole('button', { name: 'Confirmed' }));
      const order = { client: 'Ines Toller', theme: 'Paper kites', date: '2026-12-12', time: '15:00', items: [['Decorated cookies', 12]] };
      await enterOrder(page, order);
      const panel = page.getByRole('region', { name: 'Before you promise it' });
      assert.match(await panel.innerText(), /Contains: milk, egg, wheat\./);
      await panel.getByRole('group', { name: /^Clashes/ }).getByText('Egg is in: eggs').waitFor();
      // Saving was refused at the field that asks.
      const agreed = page.getByLabel('What was agreed about it');
      await page.waitForFunction((element) => element.getAttribute('aria-invalid') === 'true', await agreed.elementHandle());
      assert.equal(await agreed.evaluate((element) => element === document.activeElement), true);
      await panel.getByText(/^What its cards warn of/).click();
      await panel.getByText(/Raw dough holds raw egg/).waitFor();
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
      await panel.scrollIntoViewIfNeeded();
      await page.screenshot({ path: `${OUT}/care-${device}-${scheme}.png` });
      await agreed.fill('Made with an egg replacer; its label was read');
      await press(page, page.getByRole('button', { name: 'Save order' }));
      await said(page, 'Order for Ines Toller saved');
      await saved(page);
    });
  });
}

test('what needs the fridge says so, and that the local rule decides', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Order book');
    await press(page, page.getByRole('button', { name: 'New order' }));
    await press(page, page.getByRole('list', { name: 'Products' }).getByRole('button', { name: 'Cheesecake' }));
    const panel = page.getByRole('region', { name: 'Before you promise it' });
    await panel.getByText(/^Needs the fridge: Cheesecake\. In many places a home kitchen may not sell/).waitFor();
    assert.equal(await panel.getByRole('group', { name: /^Clashes/ }).count(), 0);
    assert.equal(await page.getByLabel('What was agreed about it').count(), 0);
    await panel.scrollIntoViewIfNeeded();
    await page.screenshot({ path: `${OUT}/care-cold.png` });
  });
});
