// Promise: one list says what to buy for the planned orders, in packages, by when; it is ticked by finger, knows what is
// in the larder, and says what was planned and what was paid.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import {
  appReady,
  demandFingerSizes,
  demandNoSidewaysScroll,
  goTo,
  openApp,
  press,
  said,
  saved,
  tryDemo,
  undo,
} from './support/user.mjs';

const rowOf = (page, name) =>
  page.locator('.shopping-list > li').filter({ has: page.getByRole('checkbox', { name: `Bought: ${name}`, exact: true }) });

async function openShopping(page, server) {
  await openApp(page, server.url);
  await tryDemo(page);
  await goTo(page, 'Shopping');
}

async function demandGoodLooks(page) {
  await demandNoSidewaysScroll(page);
  await demandFingerSizes(page);
  await demandAccessible(page);
}

test('the list is in groups and packages, with what is left over and by when; a tick is kept and undone', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await openShopping(page, server);
    await page.getByRole('region', { name: 'Flour, sugar and dry goods' }).waitFor();
    await page.getByRole('region', { name: 'Boxes, bags and boards' }).waitFor();
    const flour = rowOf(page, 'Flour');
    assert.match(await flour.innerText(), /\d × [\d.]+ k?g[\s\S]* needed · .*left over · needed by .* keeps 180 days/);
    assert.equal(await rowOf(page, 'Water').count(), 0, 'nobody buys water');
    await demandGoodLooks(page);

    await press(page, flour.getByRole('checkbox'));
    assert.match(await flour.innerText(), /bought/);
    await saved(page);
    await page.reload();
    await appReady(page);
    await goTo(page, 'Shopping');
    assert.ok(await flour.getByRole('checkbox').isChecked(), 'ticked before the reload, ticked after it');
    await undo(page).catch(() => {});
    await press(page, flour.getByRole('checkbox'));
    assert.ok(!(await flour.getByRole('checkbox').isChecked()));
    await undo(page);
    await said(page, /^Undone: change the shopping list/);
    assert.ok(await flour.getByRole('checkbox').isChecked());

    // What is put away is in the larder and off the list.
    await press(page, page.getByRole('button', { name: 'Put away what is ticked' }));
    await said(page, 'Put into the larder');
    await flour.waitFor({ state: 'detached' });
    const larder = page.getByRole('region', { name: 'Larder' });
    assert.match(await larder.getByRole('button', { name: /^Flour/ }).innerText(), /k?g/);
    await undo(page);
    await flour.waitFor();
  });
});

test('prices, what was paid and what is there are entered for a good, and refused in words where they are wrong', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openShopping(page, server);
    const butter = rowOf(page, 'Butter');
    await press(page, butter.getByRole('button'));
    const dialog = page.getByRole('dialog', { name: 'Butter' });
    const costs = dialog.getByLabel('Costs', { exact: true });
    await costs.first().fill('cheap');
    await costs.first().blur();
    await dialog.getByText('“cheap” is not a price; write for example 2.49').waitFor();
    const sizes = await costs.count();
    for (let index = 0; index < sizes; index += 1) {
      await costs.nth(index).fill(index === 0 ? '2.19' : '3,89');
      await costs.nth(index).blur();
    }
    const there = dialog.getByLabel('There now', { exact: true });
    await there.fill('a lot');
    await there.blur();
    await dialog.getByText('“a lot” is not an amount; write for example 500').waitFor();
    await there.fill('100');
    await there.blur();
    await dialog.getByLabel('Use by', { exact: true }).fill('2027-01-15');
    await dialog.getByLabel('Use by', { exact: true }).blur();
    await demandGoodLooks(page);
    await press(page, dialog.getByRole('button', { name: 'Close' }));
    assert.match(await butter.innerText(), /100 g there[\s\S]*\$\d+\.\d\d/);
    assert.match(await page.locator('[data-bill]').innerText(), /Still to buy: .*\$\d+\.\d\d/);

    await press(page, butter.getByRole('checkbox'));
    await press(page, butter.getByRole('button'));
    await dialog.getByLabel('Paid', { exact: true }).fill('3.50');
    await dialog.getByLabel('Paid', { exact: true }).blur();
    await press(page, dialog.getByRole('button', { name: 'Close' }));
    assert.match(await page.locator('[data-bill]').innerText(), /paid: .*\$3\.50/i);
  });
});

test('a list for one order and a few days is shorter, and US cups never stand beside grams', async () => {
  await withApp({}, async ({ page, server }) => {
    await openShopping(page, server);
    const rows = page.locator('.shopping-list > li').filter({ has: page.getByRole('checkbox') });
    const all = await rows.count();
    const orders = page.getByLabel('For', { exact: true });
    const names = await orders.locator('option').allInnerTexts();
    assert.ok(names.length > 3, `${names}`);
    const needed = async () => (await rowOf(page, 'Flour').innerText()).match(/([\d.]+) (k?g) needed/).slice(1);
    const grams = ([number, unit]) => Number(number) * (unit === 'kg' ? 1000 : 1);
    const whole = grams(await needed());
    let parts = 0;
    for (let index = 1; index < names.length; index += 1) {
      await orders.selectOption({ index });
      if ((await rowOf(page, 'Flour').count()) > 0) parts += grams(await needed());
    }
    assert.ok(Math.abs(parts - whole) <= 20, `${parts} g in parts, ${whole} g in all`);
    await orders.selectOption({ index: 0 });
    await page.getByLabel('Used in').selectOption({ label: 'The next 3 days' });
    assert.ok((await rows.count()) < all, 'less is used in three days');
    await page.getByLabel('Used in').selectOption({ index: 0 });
    await page.getByLabel('Amounts in').selectOption({ label: 'US cups and pounds' });
    const texts = await rows.allInnerTexts();
    assert.ok(texts.some((text) => /cups? needed/.test(text)), texts[0]);
    for (const text of texts) assert.doesNotMatch(text, /\d (g|kg|ml)\b/);
    await demandGoodLooks(page);
  });
});
