// Promise: the week explains itself: where else a sitting could go, why something does not fit and what
// helps, what the plan costs, how surely it ends in time, and what moved.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { fingerOn } from './support/finger.mjs';
import {
  demandFingerSizes,
  demandNoSidewaysScroll,
  enterOrder,
  goTo,
  openApp,
  planned,
  press,
  said,
  sittings,
  tryDemo,
  undo,
} from './support/user.mjs';

/** An order that no plan can make in time: cookies dry for longer than there is until then. */
const TOO_SOON = {
  client: 'Ines K.',
  theme: 'meadow',
  date: '2026-12-02',
  time: '18:00',
  items: [['Decorated cookies', 40]],
};

async function demandGoodLooks(page) {
  await demandNoSidewaysScroll(page);
  await demandFingerSizes(page);
  await demandAccessible(page);
}

/** What each sitting of the week shown is called, by its own key; on a phone also those of the days not shown. */
async function weekInWords(page) {
  const pairs = await page.locator('button[data-block]').evaluateAll((all) =>
    all.map((each) => [each.dataset.block, each.getAttribute('aria-label')]),
  );
  return Object.fromEntries(pairs);
}

async function demoWith(page, server, order) {
  await openApp(page, server.url);
  await tryDemo(page);
  if (!order) return;
  await goTo(page, 'Order book');
  await press(page, page.getByRole('button', { name: 'New order' }));
  await enterOrder(page, order);
  await said(page, `Order for ${order.client} saved`);
  await goTo(page, 'Week');
  await planned(page);
}

/** A sitting of the demo that is not fixed by its neighbours. */
const movable = (page) => sittings(page, /Roll and cut/).first();

test('a sitting in hand says what each start costs, by word and by pattern', async () => {
  await withApp({}, async ({ page, server }) => {
    await demoWith(page, server);
    const key = await movable(page).getAttribute('data-block');
    const grip = page.locator(`[data-grip][data-block="${key}"]`);
    // Away from the edges, where the days would scroll.
    await grip.evaluate((element) => element.scrollIntoView({ block: 'center' }));
    const box = await grip.boundingBox();
    const from = { x: box.x + box.width / 2, y: box.y + 12 };
    const hands = await fingerOn(page);
    await hands.down(from);
    // Where it may lie is drawn at once, on the page itself.
    const bands = await page.locator('.week-band').count();
    assert.ok(bands > 0, 'the first answer waits for nobody');
    const tried = page.locator('[data-grade="good"], [data-grade="dearer"], [data-grade="much"]');
    await tried.first().waitFor({ state: 'attached' });
    const words = await tried.evaluateAll((all) => all.map((each) => each.innerText));
    for (const word of words) assert.match(word, /^(good|fair|poor)$/, 'colour is not the only sign');
    // Over a start that was tried, what it costs stands under the finger.
    const found = await page.waitForFunction((fromX) => {
      const all = [...document.querySelectorAll('[data-grade="good"], [data-grade="dearer"], [data-grade="much"]')];
      const spots = all.map((each) => {
        const { x, y, width } = each.getBoundingClientRect();
        return { x: x + width / 2, y: y + 4 };
      });
      return spots.find((spot) => Math.abs(spot.x - fromX) > 60 && spot.y > 240 && spot.y < 640);
    }, from.x);
    const far = await found.jsonValue();
    await hands.move(from, { x: far.x, y: far.y + 12 });
    const cost = page.locator('.week-ghost-cost');
    await cost.filter({ hasText: /\d+ (h|min)|as good as now|worse|nothing else changes|moves?$/ }).waitFor();
    assert.doesNotMatch(await cost.innerText(), /point/i);
    await page.keyboard.press('Escape');
    await hands.up();
    await said(page, /stays where it was/);
    assert.equal(await tried.count(), 0, 'and it is gone with the sitting');
  });
});

test('the same is a list in the sheet, and a tap moves the sitting there', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await demoWith(page, server);
    const before = await weekInWords(page);
    const key = Object.keys(before).find((each) => /Roll and cut/.test(before[each]));
    const day = before[key].split(' ')[0];
    await press(page, page.getByRole('group', { name: 'Day' }).getByRole('button', { name: new RegExp(`^${day.slice(0, 3)}`) }));
    await press(page, page.locator(`button[data-block="${key}"]`));
    const sheet = page.getByRole('dialog');
    await press(page, sheet.getByText('Where else'));
    const rows = sheet.getByRole('button', { name: /^Move to / });
    await rows.filter({ hasText: /a little worse|as good as now|clearly worse|more|less/ }).first().waitFor();
    await demandGoodLooks(page);
    const row = rows.and(page.locator(':enabled')).first();
    const name = await row.innerText();
    const time = name.match(/\d\d:\d\d/)[0];
    await press(page, row);
    await said(page, /moved to/);
    await planned(page);
    assert.match((await weekInWords(page))[key], new RegExp(` ${time} to .*pinned`));
    await undo(page);
    await said(page, /^Undone/);
    await planned(page);
    assert.deepEqual(await weekInWords(page), before);
  });
});

test('what cannot be is said with ways out that were tried; a trial changes nothing, Do it can be undone', async () => {
  await withApp({}, async ({ page, server }) => {
    await demoWith(page, server, TOO_SOON);
    const panel = page.getByRole('region', { name: 'Why it does not fit' });
    await panel.getByText('Ines K. cannot be ready by Wednesday 2 Dec 18:00').waitFor();
    await press(page, page.getByRole('button', { name: /^\d+ things? do(es)? not fit$/ }));
    await press(page, page.getByRole('dialog').getByRole('button', { name: 'Why, and what would help' }));
    const dialog = page.getByRole('dialog', { name: 'Why it does not fit' });
    await dialog.getByText('Ines K. leaves on Wednesday 2 Dec 18:00').waitFor();
    const ways = dialog.getByRole('button', { name: /^Show the week with: / });
    await ways.nth(2).waitFor({ timeout: 90_000 });
    await dialog.getByText('Each was tried: with it the week holds').waitFor({ timeout: 90_000 });
    await demandGoodLooks(page);
    const before = await weekInWords(page);

    const later = dialog.getByRole('button', { name: /^Show the week with: Hand over to Ines K\./ }).first();
    await press(page, later);
    const trial = page.getByRole('region', { name: 'Trial' });
    await trial.getByText('Nothing has changed yet').waitFor();
    assert.notDeepEqual(await weekInWords(page), before, 'the trial shows another week');
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await press(page, trial.getByRole('button', { name: 'Back' }));
    await trial.waitFor({ state: 'detached' });
    assert.deepEqual(await weekInWords(page), before, 'and leaves the real one alone');

    await press(page, panel.getByRole('button'));
    await press(page, dialog.getByRole('button', { name: /^Do it: Hand over to Ines K\./ }).first());
    await said(page, /^Done: Hand over to Ines K\./);
    await planned(page);
    await panel.waitFor({ state: 'detached' });
    assert.equal(await page.getByRole('button', { name: /^\d+ things? do(es)? not fit$/ }).count(), 0);

    await undo(page);
    await said(page, /^Undone/);
    await planned(page);
    await panel.getByText('Ines K. cannot be ready by Wednesday 2 Dec 18:00').waitFor();
  });
});

test('one tap tells how good the plan is, what it costs in hours, and how surely each order is on time', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await demoWith(page, server);
    await press(page, page.getByRole('button', { name: /^This plan: .*on time/ }));
    const dialog = page.getByRole('dialog', { name: 'This plan' });
    await dialog.getByText(/^(No plan is better|At most \d+ % better is possible|A better plan may exist)/).waitFor();
    const terms = await dialog.getByRole('term').allInnerTexts();
    for (const wanted of [/last 24 h/, /in the fridge/, /waiting for the handover/, /Evenings/, /Moved away/]) {
      assert.ok(terms.some((term) => wanted.test(term)), `${wanted} in ${terms}`);
    }
    const amounts = await dialog.getByRole('definition').allInnerTexts();
    for (const amount of amounts) assert.match(amount, /^(none|\d+|\d+ shelf-hours|(\d+ days|\d+ h|\d+ min|\d+ h \d+ min))$/);
    const orders = dialog.getByRole('listitem').filter({ hasText: /leaves / });
    assert.equal(await orders.count(), 4, 'every confirmed order has its chance');
    for (const order of await orders.allInnerTexts()) assert.match(order, /(\d in 10|nearly always)/);
    await demandGoodLooks(page);
  });
});

test('what else moved after a change is counted, listed, and taken back', async () => {
  await withApp({ device: DEVICES.desk }, async ({ page, server }) => {
    await demoWith(page, server);
    const before = await weekInWords(page);
    // Something that others wait for, put where they cannot stay.
    await sittings(page, /Mix the dough/).first().focus();
    await page.keyboard.press('m');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Enter');
    await said(page, /moved to/);
    await planned(page);
    const button = page.getByRole('button', { name: /^\d+ sittings? moved$/ });
    await button.waitFor();
    const count = Number((await button.innerText()).match(/\d+/)[0]);
    await press(page, button);
    const dialog = page.getByRole('dialog', { name: 'What moved' });
    assert.equal(await dialog.getByRole('listitem').count(), count);
    assert.match(await dialog.getByRole('listitem').first().innerText(), /\w{3} \d\d:\d\d/);
    await demandGoodLooks(page);
    await press(page, dialog.getByRole('button', { name: 'Undo my change' }));
    await said(page, /^Undone/);
    await planned(page);
    assert.deepEqual(await weekInWords(page), before);
    assert.equal(await button.count(), 0);
  });
});
