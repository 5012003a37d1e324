// Promise: how everything is made can be read, with where each number comes from two taps away; a card can be made
// one's own, sent and brought back as a file; orders keep the version that they were planned with.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
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
  sittings,
  tryDemo,
  undo,
} from './support/user.mjs';

const cards = (page, name = 'Products') => page.getByRole('list', { name });
/** A line of a card, found by its title. */
const line = (page, title) => page.locator('.method-part').filter({ has: page.locator('summary', { hasText: title }) });

async function openCards(page, server) {
  await openApp(page, server.url);
  await tryDemo(page);
  await goTo(page, 'Method cards');
}

async function openCard(page, name) {
  await press(page, page.getByRole('link', { name: new RegExp(`^${name}`) }));
  await page.getByRole('heading', { level: 2, name }).waitFor();
}

async function demandGoodLooks(page) {
  await demandNoSidewaysScroll(page);
  await demandFingerSizes(page);
  await demandAccessible(page);
}

/** The open card's file, as the browser saves it. */
async function exported(page) {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    press(page, page.getByRole('button', { name: 'Export as a file' })),
  ]);
  return { name: download.suggestedFilename(), text: await readFile(await download.path(), 'utf8') };
}

/** Chooses a card file in the list of all cards. */
async function bring(page, text) {
  await page.getByLabel('Import a card from a file').setInputFiles({
    name: 'brought.card.json',
    mimeType: 'application/json',
    buffer: Buffer.from(text),
  });
}

for (const [size, device] of Object.entries({ tablet: DEVICES.tablet, phone: DEVICES.phone })) {
  test(`on a ${size} every number of a card opens to where it comes from, and a sitting leads there in two taps`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await openCards(page, server);
      assert.ok(15 <= (await cards(page).getByRole('link').count()));
      assert.ok(8 <= (await cards(page, 'Components').getByRole('link').count()));
      await openCard(page, 'Cake pops');
      await page.getByText(/3 h \d+ min by hand|by hand;/).waitFor();
      const says = async (title, expected) => {
        const found = line(page, title).first();
        await press(page, found.locator('summary'));
        assert.match(await found.locator('ul').innerText(), expected, title);
      };
      await says('Crumble, bind and roll', /24 pops: \d+ min[\s\S]*estimates to begin with, common practice/);
      await says('baked cake', /from 96 °C until its middle[\s\S]*conduction of heat[\s\S]*Source: FoodKeeper/);
      await says('Boxed on the room shelf', /Source: FoodKeeper/);
      await says('Bound cake', /From the end of “Crumble, bind and roll” to the handover[\s\S]*Source: FoodKeeper/);
      await says('Box of pops', /at most 12 in one[\s\S]*your containers/);
      await says('How these amounts come about', /0\.234 × batter grams[\s\S]*geometry/);
      await says('Rules of the trade', /common practice, no published source/);
      await says('What can be chosen', /25 mm to 45 mm, usually 38 mm/);
      await page.locator('.caution').first().waitFor();
      await demandGoodLooks(page);

      // A component's card is one tap away, and the browser leads back.
      await press(page, page.getByRole('button', { name: 'Card: Sugar buttercream' }));
      await page.getByRole('heading', { level: 2, name: 'Sugar buttercream' }).waitFor();
      await page.goBack();
      await page.getByRole('heading', { level: 2, name: 'Cake pops' }).waitFor();

      await goTo(page, 'Week');
      await press(page, sittings(page).filter({ visible: true }).first());
      await page.getByRole('dialog').getByText(/(Best by|Eat or throw away by) .* of its keeping is used up at the handover/).waitFor();
      const way = page.getByRole('dialog').getByRole('link', { name: /^How it comes about/ });
      const step = (await way.innerText()).replace('How it comes about: ', '');
      await press(page, way);
      const meant = line(page, step).first();
      assert.ok(await meant.evaluate((details) => details.open), 'the line of that step is open');
      await page.waitForTimeout(300);
      assert.ok(await meant.locator('summary').evaluate((found) => {
        const box = found.getBoundingClientRect();
        return 0 <= box.top && box.bottom <= innerHeight;
      }), 'and in sight');
    });
  });
}

test('a card is copied, outlives a reload, goes out as a file and comes back', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openCards(page, server);
    await openCard(page, 'Cake pops');
    await press(page, page.getByRole('button', { name: 'Copy as a card of your own' }));
    const mine = 'Cake pops (my way)';
    await page.getByRole('heading', { level: 2, name: mine, exact: true }).waitFor();
    await page.getByText('Your own, version 1, from the built-in card “Cake pops”').waitFor();
    await saved(page);
    await page.reload();
    await appReady(page);
    await page.getByRole('heading', { level: 2, name: mine, exact: true }).waitFor();

    const file = await exported(page);
    assert.equal(file.name, 'cake-pops-my-way.card.json');
    const card = JSON.parse(file.text);
    assert.equal(card.copied_from, 'cake-pops');
    await press(page, page.getByRole('button', { name: 'Remove' }));
    await press(page, page.getByRole('dialog').getByRole('button', { name: 'Remove' }));
    await cards(page).waitFor();
    assert.equal(await cards(page).getByRole('link', { name: mine }).count(), 0);
    await bring(page, file.text);
    await page.getByRole('heading', { level: 2, name: mine, exact: true }).waitFor();

    // A card that is here already is asked about.
    await press(page, page.getByRole('button', { name: 'All cards' }));
    await bring(page, file.text);
    await page.getByText('There is a card “Cake pops (my way)” already').waitFor();
    await demandGoodLooks(page);
    await press(page, page.getByRole('button', { name: 'Take it as a card of its own' }));
    await page.getByRole('heading', { level: 2, name: `${mine} (imported)` }).waitFor();
    await undo(page);
    await said(page, /^Undone: save the method card/);
    await cards(page).waitFor();
    assert.equal(await cards(page).getByRole('link', { name: /imported/ }).count(), 0);

    // What is impossible is said at the field, with what would be right.
    const wrong = async (change, expected) => {
      const bad = JSON.parse(file.text);
      change(bad);
      await bring(page, JSON.stringify(bad));
      const error = page.locator('#card-file-error');
      await error.filter({ hasText: expected }).waitFor();
    };
    await wrong((bad) => bad.rests.push({ ...bad.rests[0], id: 'round', from: 'bake', to: 'batter' }), /comes after itself; turn one rest round/);
    await wrong((bad) => (bad.rests[0].modes[0].least = [{ each: 90 }]), /may come to less than the least time; give 90 or more/);
    await wrong((bad) => (bad.rests[1].modes[0].stay.place = 'cellar'), /cellar.*fridge/);
    await page.getByLabel('Import a card from a file').setInputFiles({
      name: 'notes.txt', mimeType: 'text/plain', buffer: Buffer.from('two eggs'),
    });
    await page.locator('#card-file-error').filter({ hasText: 'notes.txt: ' }).waitFor();
  });
});

test('an order keeps the version that it was planned with until she uses the newest', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await openCards(page, server);
    await openCard(page, 'Cake pops');
    const card = JSON.parse((await exported(page)).text);
    const roll = card.steps.find((step) => step.id === 'roll');
    assert.equal(roll.work[0].each, 45);
    roll.work[0].each = 60;
    await press(page, page.getByRole('button', { name: 'All cards' }));
    await bring(page, JSON.stringify(card));
    await press(page, page.getByRole('button', { name: 'Take it as the newest version' }));
    await page.getByText('Your own version 4 of the built-in card').waitFor();
    await press(page, line(page, 'What is yours on it').locator('summary'));
    await page.getByText('“Crumble, bind and roll”, work: 45 s → 1 min').waitFor();
    await saved(page);
    await page.reload();
    await appReady(page);

    await goTo(page, 'Order book');
    await press(page, page.locator('.order-name').first());
    await page.getByRole('button', { name: 'Save order' }).waitFor();
    const newer = page.getByText('A newer version of this card exists');
    // Which order has pops is the demo's to say.
    for (let at = 1; !(await newer.isVisible()); at += 1) {
      await press(page, page.getByRole('button', { name: 'Back' }));
      await press(page, page.locator('.order-name').nth(at));
      await page.getByRole('button', { name: 'Save order' }).waitFor();
    }
    const item = page.getByRole('group', { name: 'Cake pops', exact: true });
    await press(page, item.getByText('See what changes'));
    await item.getByText('“Crumble, bind and roll”, work: 45 s → 1 min').waitFor();
    await demandGoodLooks(page);
    await press(page, item.getByRole('button', { name: 'Use the newest' }));
    await newer.waitFor({ state: 'detached' });
    await press(page, page.getByRole('button', { name: 'Save order' }));
    await said(page, /saved, handover/);
    await undo(page);
    await said(page, /^Undone/);

    // Back to the built-in card: the orders go on with what they were planned with.
    await goTo(page, 'Method cards');
    await openCard(page, 'Cake pops');
    await press(page, page.getByRole('button', { name: 'Go back to the built-in card' }));
    await press(page, page.getByRole('dialog').getByRole('button', { name: 'Go back to the built-in card' }));
    await page.getByText('Built in, version 3').waitFor();
  });
});
