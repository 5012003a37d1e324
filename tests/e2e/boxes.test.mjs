// Promise: what a product takes up is shown with its reason, follows from the listed boxes, and gives way to her own measure.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { DEVICES, withApp } from './support/browser.mjs';
import {
  appReady,
  demandFingerSizes,
  demandNoSidewaysScroll,
  goTo,
  openApp,
  press,
  saved,
  tryDemo,
  undo,
} from './support/user.mjs';

/** Opens a new order with a tall cake of the usual size and gives the row of its box. */
async function boxedCake(page) {
  await goTo(page, 'Order book');
  await press(page, page.getByRole('button', { name: 'New order' }));
  const products = page.getByRole('list', { name: 'Products' });
  await press(page, products.getByRole('button', { name: 'Tall layer cake' }));
  return shownBox(page);
}

/** The row of the cake's box in the open order. */
async function shownBox(page) {
  const cake = page.getByRole('group', { name: 'Tall layer cake', exact: true });
  await press(page, cake.getByText('What it takes up'));
  const row = cake.getByRole('listitem').filter({ hasText: 'Boxed cake' });
  await row.waitFor();
  return row;
}

/** Writes into a field as she does, and leaves it. */
async function write(field, text) {
  await field.fill(text);
  await field.blur();
}

/** Demands that the field is marked as wrong and that its words hold `words`. */
async function demandRefused(page, field, words) {
  await field.and(page.locator('[aria-invalid="true"]')).waitFor();
  const described = await field.getAttribute('aria-describedby');
  assert.match(await page.locator(`[id="${described.split(' ').at(-1)}"]`).innerText(), words);
}

test('her own measure counts, a wrong one is refused at its field, and the reckoned size comes back', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    const row = await boxedCake(page);
    // 150 mm and 25 mm of board on each side is the 8 in board; 180 + 12 + 20 mm of air is the box of 10 in:
    // 203 × 203 × 254 mm inside and walls of 3 mm.
    await row.getByText('209 × 209 × 260 mm', { exact: true }).waitFor();
    assert.match(await row.innerText(), /150 mm cake, 180 mm tall, on the 8 in board .* the 8 × 8 × 10 in box/);

    await press(page, row.getByText('I measured it myself'));
    const height = row.getByLabel('Height');
    for (const [wrong, words] of [
      ['0', /5 to 2000 mm, for example 240/],
      ['3000', /5 to 2000 mm, for example 240/],
      ['tall', /“tall” is not a whole number; write for example 260/],
      ['-12', /5 to 2000 mm, for example 240/],
    ]) {
      await write(height, wrong);
      await demandRefused(page, height, words);
      assert.equal(await height.inputValue(), wrong, 'what was typed stands');
      assert.equal(await row.getByText('209 × 209 × 260 mm', { exact: true }).count(), 1, 'the size is as it was');
    }

    await write(height, '275');
    await row.getByText('209 × 209 × 275 mm', { exact: true }).waitFor();
    await row.getByText('your measure').waitFor();
    assert.equal(await height.getAttribute('aria-invalid'), null, 'the refusal is gone');
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await saved(page);

    await page.reload();
    await appReady(page);
    const again = await shownBox(page);
    await again.getByText('209 × 209 × 275 mm', { exact: true }).waitFor();
    await press(page, again.getByText('I measured it myself'));
    await press(page, again.getByRole('button', { name: 'Back to the reckoned 209 × 209 × 260 mm' }));
    await again.getByText('209 × 209 × 260 mm', { exact: true }).waitFor();
    assert.equal(await again.getByText('your measure').count(), 0);
    assert.equal(await again.getByRole('button', { name: /^Back to the reckoned/ }).count(), 0);
  });
});

test('the Kitchen page lists what she measured, and gives it up again', async () => {
  await withApp({}, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    const row = await boxedCake(page);
    await press(page, row.getByText('I measured it myself'));
    await write(row.getByLabel('Width'), '230');
    await row.getByText('230 × 209 × 260 mm', { exact: true }).waitFor();

    await goTo(page, 'Kitchen');
    const own = page.getByRole('listitem').filter({ hasText: '230 × 209 × 260 mm' });
    assert.match(await own.innerText(), /Tall layer cake, boxed cake, 150 mm across, 180 mm tall/);
    await press(page, own.getByRole('button', { name: /^Remove/ }));
    await own.waitFor({ state: 'detached' });
    await undo(page);
    await own.waitFor();
  });
});

test('what is in the list decides which box a cake goes into, by finger on a phone', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Kitchen');
    await press(page, page.getByText(/^Cake boxes/));
    const tall = page.getByRole('group', { name: '8 × 8 × 10 in box', exact: true });
    const inside = tall.getByLabel('Height');
    for (const [wrong, words] of [
      ['0', /2 to 1000 mm, for example 127/],
      ['3 m', /“3 m” is not a whole number; write for example 254/],
      ['3000', /2 to 1000 mm, for example 127/],
    ]) {
      await write(inside, wrong);
      await demandRefused(page, inside, words);
    }
    const pile = tall.getByLabel('In a pile');
    await write(pile, '99');
    await demandRefused(page, pile, /1 to 20, for example 3/);
    await write(pile, '1');
    const name = tall.getByLabel('Name');
    await write(name, '10 × 10 × 10 in box');
    await demandRefused(page, name, /is in the list already; .* for example/);
    await write(name, '8 × 8 × 10 in box');
    // 211 mm are one too few for 180 + 12 + 20.
    await write(inside, '211');
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);

    const row = await boxedCake(page);
    await row.getByText('260 × 260 × 260 mm', { exact: true }).waitFor();
    assert.match(await row.innerText(), /the 10 × 10 × 10 in box/);
    await undo(page);
    await row.getByText('209 × 209 × 260 mm', { exact: true }).waitFor();
  });
});
