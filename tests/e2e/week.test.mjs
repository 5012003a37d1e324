// Promise: a sitting is moved by finger, mouse, taps and keys alike; it stays, the rest is planned anew,
// and undo brings everything back.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { DEVICES, withApp } from './support/browser.mjs';
import { fingerOn, mouseOn } from './support/finger.mjs';
import { appReady, openApp, planned, press, pressToOpen, said, saved, sittings, tryDemo, undo } from './support/user.mjs';

/** What each sitting of the week shown is called, by its own key: day, times, name and state. */
async function weekInWords(page) {
  const pairs = await sittings(page).evaluateAll((all) =>
    all.map((each) => [each.dataset.block, each.getAttribute('aria-label')]),
  );
  return Object.fromEntries(pairs);
}

/** The handle and the button of a sitting. */
const grip = (page, key) => page.locator(`[data-grip][data-block="${key}"]`);
const open = (page, key) => page.locator(`button[data-block="${key}"]`);

async function middle(locator) {
  const box = await locator.boundingBox();
  assert.ok(box, 'it is on screen');
  return { x: box.x + box.width / 2, y: box.y + Math.min(box.height / 2, 20) };
}

/** A sitting on screen that may be moved, with a place on another day where it may go. */
async function pickMovable(page, hands) {
  const room = page.viewportSize();
  for (const key of Object.keys(await weekInWords(page))) {
    const handle = grip(page, key);
    if ((await handle.count()) === 0) continue;
    await handle.scrollIntoViewIfNeeded();
    const from = await middle(handle);
    await hands.down(from);
    await hands.move(from, { x: from.x + 6, y: from.y + 6 }, 3);
    const bands = await page.locator('.week-band').evaluateAll((all) =>
      all.map((band) => {
        const box = band.getBoundingClientRect();
        return { x: box.x, y: box.y, width: box.width, height: box.height };
      }),
    );
    const far = bands.find(
      (band) =>
        Math.abs(band.x + band.width / 2 - from.x) > band.width &&
        band.y > 140 &&
        band.y + 12 < room.height - 160,
    );
    if (far) return { key, from, to: { x: far.x + far.width / 2, y: far.y + Math.min(12, far.height / 2 + 4) } };
    await page.keyboard.press('Escape');
    await hands.up();
  }
  throw new Error('no sitting of the week can go to another day');
}

async function demandMoved(page, key, before) {
  await said(page, /moved to/);
  await planned(page);
  const after = await weekInWords(page);
  assert.notEqual(after[key], before[key], 'it stands elsewhere');
  await pressToOpen(page, open(page, key));
  await page.getByRole('dialog').getByText('pinned', { exact: true }).waitFor();
  await press(page, page.getByRole('dialog').getByRole('button', { name: 'Close' }));
  return after;
}

const WAYS = {
  finger: { device: DEVICES.tablet, hands: fingerOn },
  mouse: { device: DEVICES.desk, hands: mouseOn },
};

for (const [way, { device, hands: handsOf }] of Object.entries(WAYS)) {
  test(`a sitting is dragged by ${way}, stays, and undo brings it back`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      const before = await weekInWords(page);
      const hands = await handsOf(page);
      const { key, from, to } = await pickMovable(page, hands);
      await hands.move(from, to);
      await hands.up();
      const after = await demandMoved(page, key, before);

      await page.reload();
      await appReady(page);
      await planned(page);
      assert.equal((await weekInWords(page))[key], after[key], 'after a reload it is where it was put');
    });
  });

  test(`undo after a drag by ${way} restores the whole week`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      const before = await weekInWords(page);
      const hands = await handsOf(page);
      const { key, from, to } = await pickMovable(page, hands);
      await hands.move(from, to);
      await hands.up();
      await demandMoved(page, key, before);
      await undo(page);
      await said(page, /^Undone/);
      await planned(page);
      assert.deepEqual(await weekInWords(page), before);
    });
  });

  test(`a drag by ${way} that ends outside, or by Escape, changes nothing`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      const before = await weekInWords(page);
      const hands = await handsOf(page);
      const { from, to } = await pickMovable(page, hands);
      const outside = { x: to.x, y: 6 };
      await hands.move(from, to);
      await hands.move(to, outside);
      await hands.up();
      await said(page, /stays where it was/);
      assert.deepEqual(await weekInWords(page), before);

      const again = await pickMovable(page, hands);
      await hands.move(again.from, again.to);
      await page.keyboard.press('Escape');
      await hands.up();
      await said(page, /stays where it was/);
      await saved(page);
      assert.deepEqual(await weekInWords(page), before);
    });
  });
}

test('a second finger puts the sitting back', async () => {
  await withApp({}, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    const before = await weekInWords(page);
    const hands = await fingerOn(page);
    const { from, to } = await pickMovable(page, hands);
    await hands.move(from, to);
    await hands.downToo(to, { x: to.x + 40, y: to.y + 40 });
    await said(page, /stays where it was/);
    await hands.up();
    assert.deepEqual(await weekInWords(page), before);
  });
});

test('a touch that the browser takes away changes nothing', async () => {
  await withApp({}, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    const before = await weekInWords(page);
    const hands = await fingerOn(page);
    const { from, to } = await pickMovable(page, hands);
    await hands.move(from, to);
    await hands.cancel();
    await said(page, /stays where it was/);
    assert.deepEqual(await weekInWords(page), before);
  });
});

test('a swipe that starts on a sitting scrolls and moves nothing', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    const before = await weekInWords(page);
    const shown = sittings(page).locator('visible=true').first();
    await shown.scrollIntoViewIfNeeded();
    const box = await shown.boundingBox();
    const hands = await fingerOn(page);
    const start = { x: box.x + box.width * 0.7, y: box.y + box.height / 2 };
    await hands.drag(start, { x: start.x, y: start.y - 150 }, 10);
    await page.waitForTimeout(300);
    assert.deepEqual(await weekInWords(page), before);
    assert.equal(await page.getByRole('dialog').count(), 0, 'and opens nothing');
  });
});

test('tap, Move, tap does what a drag does', async () => {
  await withApp({}, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    const before = await weekInWords(page);
    const hands = await fingerOn(page);
    const { key, to } = await pickMovable(page, hands);
    await page.keyboard.press('Escape');
    await hands.up();
    await press(page, open(page, key));
    await press(page, page.getByRole('dialog').getByRole('button', { name: 'Move', exact: true }));
    await said(page, /tap where it should start/);
    await page.touchscreen.tap(to.x, to.y);
    await demandMoved(page, key, before);
  });
});

test('the keyboard does what a drag does, and Escape leaves all as it was', async () => {
  await withApp({ device: DEVICES.desk }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    const before = await weekInWords(page);
    const { key } = await pickMovable(page, mouseOn(page));
    await page.keyboard.press('Escape');
    await page.mouse.up();

    await open(page, key).focus();
    await page.keyboard.press('m');
    await said(page, /Arrows move it/);
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Escape');
    await said(page, /stays where it was/);
    assert.deepEqual(await weekInWords(page), before);

    await open(page, key).focus();
    await page.keyboard.press('m');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Enter');
    await demandMoved(page, key, before);
  });
});
