// Promise: a client's wish becomes a placed week within two minutes, and stays as it was entered.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { DEVICES, withApp } from './support/browser.mjs';
import { appReady, enterOrder, goTo, openApp, planned, press, said, saved, sittings, tryDemo, undo } from './support/user.mjs';

const WISH = {
  client: 'Ines K.',
  theme: 'meadow, sage and yellow',
  date: '2026-12-12',
  time: '14:00',
  items: [['Decorated cookies', 24], ['Cake pops', 20], ['Tall layer cake', 1]],
};

test('from nothing to a placed week by touch: kitchen, time, an order with cookies, pops and a cake', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    const started = Date.now();
    const steps = page.getByRole('list', { name: 'Set-up' });
    assert.match(await steps.locator('[aria-current="step"]').innerText(), /Kitchen/);
    await press(page, page.locator('.first-kitchens').getByRole('button').first());
    await press(page, page.getByRole('button', { name: 'Go on to the first order' }));
    const actions = await enterOrder(page, WISH);
    await planned(page);
    const seconds = (Date.now() - started) / 1000;

    // A person needs about three seconds for a press or a short field; a client's name takes longer.
    assert.ok(actions * 3 + 20 < 120, `${actions} presses and fields`);
    assert.ok(seconds < 120, `${seconds} s`);
    // What keeps long may be made in the week before the handover's.
    const products = ['Decorated cookies', 'Cake pops', 'Tall layer cake'];
    const placed = async () => {
      const counts = products.map((product) => sittings(page, new RegExp(product)).count());
      return Promise.all(counts);
    };
    const before = await placed();
    await press(page, page.getByRole('button', { name: 'Next week' }));
    const after = await placed();
    for (const [index, product] of products.entries()) {
      assert.ok(before[index] + after[index] > 0, `${product} is placed before its handover`);
    }
    assert.ok(after.some((count) => count > 0), 'something is made in the week of the handover');
  });
});

test('an order in the book is found again after a reload, and can be changed', async () => {
  await withApp({}, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Order book');
    await press(page, page.getByRole('button', { name: 'New order' }));
    await enterOrder(page, WISH);
    await said(page, 'Order for Ines K. saved');
    await saved(page);

    await page.reload();
    await appReady(page);
    await goTo(page, 'Order book');
    await press(page, page.getByRole('link', { name: 'Ines K.' }));
    assert.equal(await page.getByLabel('Client', { exact: true }).inputValue(), WISH.client);
    assert.equal(await page.getByLabel('Theme and colours').inputValue(), WISH.theme);
    assert.equal(await page.getByLabel('Date', { exact: true }).inputValue(), WISH.date);
    const cookies = page.getByRole('group', { name: 'Decorated cookies', exact: true });
    assert.equal(await cookies.getByLabel('Cookies', { exact: true }).inputValue(), '24');
    await cookies.getByRole('button', { name: 'Cookies: more' }).click();
    await press(page, page.getByRole('button', { name: 'Save order' }));
    await said(page, 'Order for Ines K. saved');
    await page.getByText(/30 cookies/).first().waitFor();
    await undo(page);
    await page.getByText(/24 cookies/).first().waitFor();
  });
});

test('what is wrong is said at its field with an example, and nothing typed is lost', async () => {
  await withApp({}, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Order book');
    await press(page, page.getByRole('button', { name: 'New order' }));
    await page.getByLabel('Theme and colours').fill('kept while wrong');
    await press(page, page.getByRole('button', { name: 'Save order' }));
    const client = page.getByLabel('Client', { exact: true });
    await page.locator('[aria-invalid="true"]').first().waitFor();
    assert.equal(await client.getAttribute('aria-invalid'), 'true');
    const described = await client.getAttribute('aria-describedby');
    assert.match(await page.locator(`#${described.split(' ').at(-1)}`).innerText(), /for example/);
    assert.ok(await client.evaluate((field) => field === document.activeElement), 'the first wrong field has the focus');

    await page.reload();
    await appReady(page);
    assert.equal(await page.getByLabel('Theme and colours').inputValue(), 'kept while wrong');
  });
});
