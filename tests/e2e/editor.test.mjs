// Promise: a card is changed by hand, or made from nothing; what the change comes to is seen at once; what is impossible
// is refused in words; nothing that was typed is lost by a reload, a refusal or another tab.

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

const OUT = new URL('./out', import.meta.url).pathname;

const button = (page, name) => page.getByRole('button', { name, exact: true });
/** An item of the form, found by its title; it is opened if it is not. */
async function opened(page, title) {
  const item = page.locator('details.method-part').filter({ has: page.locator(':scope > summary', { hasText: title }) }).first();
  if (!(await item.evaluate((details) => details.open))) await press(page, item.locator(':scope > summary'));
  await item.getByRole('button', { name: /^Remove / }).first().waitFor();
  return item;
}
const beside = (page) => page.getByRole('complementary');
const error = (page) => page.locator('.form-end .error');

async function change(page, server, name) {
  await openApp(page, server.url);
  await tryDemo(page);
  await goTo(page, 'Method cards');
  await press(page, page.getByRole('link', { name: new RegExp(`^${name}`) }));
  await press(page, button(page, 'Change this card'));
  await page.getByRole('heading', { level: 2, name: `Change “${name}”` }).waitFor();
}

async function demandGoodLooks(page, picture) {
  await demandNoSidewaysScroll(page);
  await demandFingerSizes(page);
  await demandAccessible(page);
  if (picture) await page.screenshot({ path: `${OUT}/${picture}.png` });
}

for (const [size, device] of Object.entries(DEVICES)) {
  test(`on a ${size} minutes of a card are changed, and the example follows at once`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await change(page, server, 'Cake pops');
      await demandGoodLooks(page, `editor-${size}`);
      const roll = await opened(page, 'Crumble, bind and roll');
      await demandGoodLooks(page, `editor-${size}-step`);
      const work = roll.getByRole('group', { name: 'Work' });
      await work.getByLabel('Time', { exact: true }).first().fill('90');
      // 24 pops at 90 s instead of 45 s: 18 minutes more, in steps of five.
      await beside(page).getByText(/before .*→/).first().waitFor();
      await work.getByLabel('Time', { exact: true }).first().fill('9o');
      await work.getByText('“9o s” is no time; write for example 45 s').waitFor();
      await press(page, button(page, 'Save card'));
      await said(page, /^Not saved yet/);
      await work.getByLabel('Time', { exact: true }).first().fill('90');
      await press(page, button(page, 'Save card'));
      await said(page, '“Cake pops” saved');
      await page.getByText('Your own version 4 of the built-in card').waitFor();
      await press(page, page.locator('.method-part', { hasText: 'What is yours on it' }).first().locator('summary'));
      await page.getByText('“Crumble, bind and roll”, work: 45 s → 1 min 30 s').waitFor();
      // Orders keep the version that they were planned with until she says otherwise.
      const older = page.locator('section.card', { has: page.getByRole('heading', { name: 'Orders that keep an older version' }) });
      const keep = await older.getByRole('listitem').count();
      assert.ok(0 < keep);
      await demandGoodLooks(page, `editor-${size}-older`);
      await press(page, older.getByRole('button', { name: /^Use the newest/ }).first());
      await said(page, 'The order goes by the newest version');
      assert.equal(await older.getByRole('listitem').count(), keep - 1);
      await undo(page);
      await said(page, /^Undone: use the newest/);
      await undo(page);
      await said(page, /^Undone: save the method card/);
      await page.getByText('Built in, version 3').waitFor();
    });
  });
}

test('what is typed outlives a reload, with what could not be read, and can be discarded', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await change(page, server, 'Brownies and bars');
    await page.getByLabel('Spares', { exact: true }).fill('lots');
    await page.getByLabel('In one sentence').fill('Mine');
    await page.reload();
    await appReady(page);
    await page.getByText('This is what you had changed and not saved.').waitFor();
    assert.equal(await page.getByLabel('Spares', { exact: true }).inputValue(), 'lots');
    assert.equal(await page.getByLabel('In one sentence').inputValue(), 'Mine');
    await page.getByText('“lots” is not a whole number from 0 to 100; write for example 10').waitFor();
    await demandGoodLooks(page, 'editor-came-back');
    await press(page, button(page, 'Back'));
    await press(page, button(page, 'All cards'));
    await page.getByText('was changed and is not saved yet').waitFor();
    await press(page, button(page, 'Go on with it'));
    await press(page, button(page, 'Discard it'));
    assert.notEqual(await page.getByLabel('In one sentence').inputValue(), 'Mine');
    await page.reload();
    await appReady(page);
    await page.getByRole('heading', { level: 2, name: /^Change/ }).waitFor();
    assert.equal(await page.getByText('This is what you had changed').count(), 0);
  });
});

test('impossible cards and looser safety limits are refused in words, with the way to the place', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await change(page, server, 'Decorated cookies');
    // A safety limit may be tightened, never loosened.
    const frozen = await opened(page, '↓ Cookie dough');
    const ways = frozen.getByRole('group', { name: /^Ways to rest/ });
    await press(page, ways.locator('details > summary').first());
    const most = ways.getByLabel('At most', { exact: true }).first();
    const before = await most.inputValue();
    await most.fill('9');
    await error(page).waitFor();
    assert.match(await error(page).innerText(), /limit|at most|never/i);
    await press(page, button(page, 'Save card'));
    await said(page, /^Not saved yet/);
    await most.fill(before);
    await error(page).waitFor({ state: 'detached' });
    // A least time above the greatest.
    await press(page, ways.getByRole('button', { name: 'Add waiting time' }).first());
    await ways.getByLabel('Time', { exact: true }).last().fill('60');
    await ways.getByLabel('Time: unit').last().selectOption('days');
    await error(page).filter({ hasText: /may come to less than the least time/i }).waitFor();
    await press(page, button(page, 'Go there'));
    // What it lies in opens first.
    await page.waitForFunction(() => document.activeElement?.getAttribute('aria-invalid') === 'true');
    assert.ok(await page.evaluate(() => {
      const box = document.activeElement.getBoundingClientRect();
      return 0 < box.top && box.bottom < innerHeight;
    }), 'the field that is wrong is in sight');
    await demandGoodLooks(page, 'editor-refused');
    await press(page, ways.getByRole('button', { name: 'Remove this line' }).last());
    await error(page).waitFor({ state: 'detached' });
    // A circle.
    const rest = await opened(page, '↓ Cookie dough');
    await rest.getByLabel('Before', { exact: true }).selectOption({ index: 0 });
    await error(page).filter({ hasText: /comes after itself|leads/ }).waitFor();
  });
});

test('a card is made from nothing, ordered, and planned', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Method cards');
    await press(page, button(page, 'A card from nothing'));
    await page.getByRole('heading', { level: 2, name: 'A new card' }).waitFor();
    await error(page).filter({ hasText: 'must say something' }).waitFor();
    await page.getByLabel('Name', { exact: true }).fill('Oat bars');
    await page.getByLabel('One piece', { exact: true }).fill('bar');
    await page.getByLabel('Several pieces', { exact: true }).fill('bars');
    await error(page).waitFor({ state: 'detached' });
    await press(page, button(page, 'Add a step'));
    await page.getByLabel('What to do', { exact: true }).last().fill('Bake the bars');
    const step = await opened(page, '2. Bake the bars');
    await step.getByLabel('Kind of work').selectOption('oven');
    await press(page, step.getByRole('button', { name: 'Add a need' }));
    await step.getByLabel('What', { exact: true }).selectOption('oven');
    await press(page, button(page, 'Add an ingredient'));
    const flour = await opened(page, 'Flour');
    await flour.getByLabel('So many').fill('35');
    await press(page, step.getByRole('button', { name: /^Earlier/ }));
    await (await opened(page, '1. Bake the bars')).waitFor();
    await press(page, (await opened(page, '1. Bake the bars')).getByRole('button', { name: /^Later/ }));
    await beside(page).getByText('For example 24 bars').waitFor();
    await demandGoodLooks(page, 'editor-new');
    await press(page, button(page, 'Save card'));
    await said(page, '“Oat bars” saved');
    await page.getByText('Your own, version 1').waitFor();
    await saved(page);
    await page.reload();
    await appReady(page);
    await page.getByRole('heading', { level: 2, name: 'Oat bars' }).waitFor();
    await goTo(page, 'Order book');
    await press(page, page.getByRole('button', { name: /New order/ }).first());
    await press(page, page.getByRole('list', { name: 'Products' }).getByRole('button', { name: 'Oat bars' }));
    await page.getByRole('group', { name: 'Oat bars', exact: true }).getByText(/by hand/).waitFor();
  });
});

test('a card that another tab changed meanwhile is not written over unasked', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, context, server }) => {
    await change(page, server, 'Brownies and bars');
    await page.getByLabel('In one sentence').fill('From the first tab');
    const other = await context.newPage();
    await openApp(other, `${server.url}?page=cards&edit=brownies`);
    await other.getByLabel('In one sentence').fill('From the second tab');
    // One window writes at a time; what was typed in the other stays.
    await press(other, button(other, 'Save card'));
    await said(other, /^Not saved yet: Another window is writing/);
    await press(other, button(other, 'Take over here'));
    await press(other, button(other, 'Save card'));
    await said(other, '“Brownies and bars” saved');
    await saved(other);
    await page.bringToFront();
    await press(page, button(page, 'Take over here'));
    await press(page, button(page, 'Save card'));
    await page.getByText('This card was changed elsewhere since you began').waitFor();
    assert.equal(await page.getByLabel('In one sentence').inputValue(), 'From the first tab');
    await demandGoodLooks(page, 'editor-clash');
    await press(page, button(page, 'Save mine as the newest'));
    await said(page, '“Brownies and bars” saved');
    await page.getByText('From the first tab', { exact: true }).waitFor();
  });
});
