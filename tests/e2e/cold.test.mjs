// Promise: *Cold & counter* shows to scale what stands where at any moment, by finger, by keyboard and by ear, and what another time would do.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import {
  demandFingerSizes,
  demandNoSidewaysScroll,
  enterOrder,
  goTo,
  openApp,
  planned,
  press,
  said,
  saved,
  tryDemo,
  undo,
} from './support/user.mjs';

const slider = (page) => page.getByRole('slider', { name: /^Moment/ });
const strip = (page) => page.getByRole('list', { name: 'Each day at its fullest moment' }).getByRole('button');
const place = (page, name) => page.getByRole('group', { name: 'Place' }).getByRole('button', { name });
const chosen = (page) => page.getByRole('region', { name: 'The box chosen' });

/** Looks at the day at which the place is fullest of all. */
async function lookAtFullest(page) {
  const days = await strip(page).evaluateAll((all) => all.map((day) => day.getAttribute('aria-label')));
  const fill = (words) => Number(/(\d+) (?:%|of)/.exec(words.split(', fullest at ')[1] ?? '')?.[1] ?? 0);
  const most = days.reduce((best, words, at) => (fill(words) > fill(days[best]) ? at : best), 0);
  assert.ok(fill(days[most]) > 0, `something stands: ${days.join('; ')}`);
  await press(page, strip(page).nth(most));
  return days[most];
}

/** The shelves of the fridge on the page “Kitchen”. */
const fridge = (page) =>
  page
    .locator('section')
    .filter({ has: page.getByRole('heading', { name: 'Fridge', exact: true }) })
    .filter({ has: page.locator('.shelf') })
    .last()
    .locator('.shelf');

/** The shelves of the fridge as measured on the page “Kitchen”, in mm. */
async function measured(page) {
  await goTo(page, 'Kitchen');
  const shelves = [];
  for (const shelf of await fridge(page).all()) {
    const value = async (label) => Number(await shelf.getByLabel(label, { exact: true }).first().inputValue());
    shelves.push([await value('Width'), await value('Depth'), await value('Height')]);
  }
  return shelves;
}

/** Everything that is drawn of the place, with px a mm across and down as the browser has them. */
function drawn(page) {
  return page.evaluate(() => {
    const of = (element) => {
      const matrix = element.getScreenCTM();
      const box = element.getBBox();
      return { x: matrix.a, y: matrix.d, turned: matrix.b || matrix.c, width: box.width, height: box.height };
    };
    const boxes = (picture) =>
      [...picture.querySelectorAll('[data-box]')].map((box) => ({
        ...of(box.querySelector('rect')),
        key: box.dataset.box,
        left: box.querySelector('rect').x.baseVal.value,
      }));
    const front = document.querySelector('.cold-front svg');
    const bar = document.querySelector('.cold-bar svg');
    const line = bar.querySelector('path').getBBox();
    return {
      front: {
        shelves: [...front.querySelectorAll('[data-shelf]')].map((shelf) => ({ ...of(shelf), at: Number(shelf.dataset.shelf) })),
        boxes: boxes(front),
      },
      tops: [...document.querySelectorAll('.cold-top svg')].map((top) => ({
        ground: of(top.querySelector('.cold-ground')),
        boxes: boxes(top),
      })),
      bar: { px: line.width, mm: Number(bar.dataset.barMm) },
    };
  });
}

/** Pictures of the place have one scale, the same across and down, and every length is the kitchen's or the table's. */
async function demandToScale(page, shelves) {
  const { front, tops, bar } = await drawn(page);
  const all = [...front.shelves, ...front.boxes, ...tops.map((top) => top.ground), ...tops.flatMap((top) => top.boxes)];
  const scale = front.shelves[0].x;
  assert.ok(scale > 0.1, `${scale} px a mm`);
  for (const one of all) {
    // Whole px for a picture's outer size: at most half a px in its width or height.
    assert.ok(Math.abs(one.x - scale) < 0.01 * scale && Math.abs(one.y - scale) < 0.01 * scale, `${one.x} and ${one.y} px a mm beside ${scale}`);
    assert.ok(Math.abs(one.turned) < 1e-6);
  }
  assert.ok(Math.abs(bar.px - bar.mm * scale) < 1.5, `the bar: ${bar.px} px for ${bar.mm} mm`);
  assert.equal(front.shelves.length, shelves.length);
  for (const shelf of front.shelves) {
    assert.deepEqual([shelf.width, shelf.height], [shelves[shelf.at][0], shelves[shelf.at][2]], 'width and clear height');
  }
  assert.deepEqual(tops.map(({ ground }) => [ground.width, ground.height]), shelves.map(([width, depth]) => [width, depth]));
  // Each box from the front against the same box in the table.
  const rows = page.getByRole('table').locator('tbody tr');
  const sizes = await rows.evaluateAll((all) =>
    all
      .filter((row) => row.cells[0].textContent.trim().startsWith('Fridge'))
      .map((row) => row.cells[row.cells.length - 2].textContent.match(/[\d.]+/g).map((cm) => Math.round(Number(cm) * 10))),
  );
  assert.ok(sizes.length > 0 && sizes.length === front.boxes.length, `${sizes.length} rows, ${front.boxes.length} boxes`);
  const text = (pairs) => pairs.map(([width, height]) => `${width}×${height}`).sort();
  assert.deepEqual(text(front.boxes.map((box) => [box.width, box.height])), text(sizes.map(([width, , height]) => [width, height])));
  // From above the topmost of each pile, at the same distance from the left as from the front.
  const above = tops.flatMap((top) => top.boxes);
  for (const box of above) {
    const same = front.boxes.find((other) => other.key === box.key);
    assert.deepEqual([same.left, same.width], [box.left, box.width]);
    assert.ok(sizes.some(([width, depth]) => width === box.width && depth === box.height));
  }
  return front.boxes.length;
}

for (const [name, device] of Object.entries({ tablet: DEVICES.tablet, phone: DEVICES.phone })) {
  test(`by finger on a ${name}: a day, the slider, a box and all about it, to scale`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      const shelves = await measured(page);
      assert.ok(shelves.length >= 3);
      await goTo(page, 'Cold & counter');
      await lookAtFullest(page);
      assert.ok((await demandToScale(page, shelves)) > 0);

      const track = await slider(page).boundingBox();
      assert.ok(track.height >= 44, `the slider is ${track.height} px high`);
      const before = await slider(page).getAttribute('aria-valuetext');
      await slider(page).scrollIntoViewIfNeeded();
      const shown = await slider(page).boundingBox();
      await page.touchscreen.tap(shown.x + shown.width * 0.03, shown.y + shown.height / 2);
      await page.waitForFunction(
        ([element, words]) => element.getAttribute('aria-valuetext') !== words,
        [await slider(page).elementHandle(), before],
      );

      await lookAtFullest(page);
      await press(page, page.locator('.cold-top [data-box]').first());
      const told = chosen(page);
      for (const words of ['Stands', 'Since', 'Until', 'Then', 'Size']) await told.getByText(words, { exact: true }).waitFor();
      await told.getByRole('link', { name: /^Order [A-Z]{1,2}: / }).waitFor();
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
      await press(page, told.getByRole('button', { name: 'Close what is told about this box' }));
      await told.waitFor({ state: 'detached' });

      for (const where of ['Freezer', 'Racks', 'Counter', 'Room shelf']) {
        await press(page, place(page, new RegExp(`^${where === 'Racks' ? 'Rack' : where}`)));
        await demandNoSidewaysScroll(page);
        await demandFingerSizes(page);
      }
    });
  });
}

test('by keyboard: the slider from change to change, the list, the table', async () => {
  await withApp({}, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Cold & counter');
    const words = () => slider(page).getAttribute('aria-valuetext');
    await slider(page).focus();
    await page.keyboard.press('Home');
    const first = await words();
    assert.match(first, /^Monday 30 Nov, 00:00: /);
    await page.keyboard.press('ArrowRight');
    const second = await words();
    assert.notEqual(second, first);
    await page.keyboard.press('ArrowLeft');
    assert.equal(await words(), first);
    await page.keyboard.press('End');
    assert.equal(await page.getByRole('button', { name: 'The next change' }).isDisabled(), true);

    const said = await lookAtFullest(page);
    const boxes = Number(/(\d+) box/.exec(said)[1]);
    const rows = page.getByRole('table').getByRole('row').filter({ hasText: /^\s*Fridge/ });
    assert.equal(await rows.count(), boxes, 'the table has every box of the fridge');
    await rows.first().getByRole('button').focus();
    await page.keyboard.press('Enter');
    await chosen(page).waitFor();
    await chosen(page).getByRole('button').first().focus();
    await page.keyboard.press('Escape');
    await chosen(page).waitFor({ state: 'detached' });
    const entry = page.getByRole('button', { name: /number \d+ in the picture/ }).first();
    await entry.focus();
    await page.keyboard.press('Enter');
    assert.equal(await entry.getAttribute('aria-pressed'), 'true');
    await chosen(page).waitFor();
  });
});

test('another time for a step: with and without it side by side, left alone, then done and undone', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Cold & counter');
    await press(page, page.getByRole('button', { name: 'What if …' }));
    const dialog = page.getByRole('dialog', { name: 'What if this is made at another time?' });
    const select = dialog.getByLabel('What to make at another time');
    const options = await select.locator('option').allTextContents();
    const time = dialog.locator('.cold-time:not([disabled])').first();
    // The first step that has anywhere else to be.
    let found = false;
    for (const label of options.slice(1).reverse()) {
      await select.selectOption({ label });
      await dialog.getByText('Choose a time to see what it does').waitFor({ timeout: 60_000 });
      if ((found = (await time.count()) > 0)) break;
    }
    assert.ok(found, 'some step can be made at another time');
    const pinned = () => page.locator('header').getByRole('button', { name: /^Undo/ }).getAttribute('aria-label');
    const before = await pinned();
    await press(page, time);
    const both = dialog.locator('[data-side] svg');
    await both.first().waitFor({ timeout: 60_000 });
    assert.equal(await both.count(), 2);
    // Both to one scale, and to the kitchen's shelves.
    const scales = await both.evaluateAll((all) => all.map((svg) => [svg.getScreenCTM().a, svg.getScreenCTM().d, svg.querySelectorAll('[data-shelf]').length]));
    const [was, is] = scales;
    for (const at of [was[1], is[0], is[1]]) assert.ok(Math.abs(at - was[0]) < 0.02 * was[0], `${scales}`);
    assert.equal(was[2], is[2]);
    await demandFingerSizes(page);
    await demandAccessible(page);
    await press(page, dialog.getByRole('button', { name: 'Leave it' }));
    await time.waitFor();
    assert.equal(await pinned(), before, 'a trial writes nothing');

    await press(page, time);
    await press(page, dialog.getByRole('button', { name: 'Do it' }));
    await said(page, /, pinned$/);
    await dialog.waitFor({ state: 'hidden' });
    assert.notEqual(await pinned(), before);
    await undo(page);
    assert.equal(await pinned(), before);
  });
});

test('a full family fridge with two free shelves and three orders of one weekend', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await openApp(page, server.url);
    await press(page, page.locator('.first-kitchens').getByRole('button').first());
    await press(page, page.getByRole('button', { name: 'Go on to the first order' }));
    const orders = [
      { client: 'Ines K.', theme: 'meadow', time: '10:00', items: [['Tall layer cake', 1]] },
      { client: 'Bo L.', theme: 'harbour', time: '12:00', items: [['Cupcakes', 12]] },
      { client: 'Ada M.', theme: 'moon', time: '15:00', items: [['Cake pops', 20]] },
    ];
    for (const [index, order] of orders.entries()) {
      if (index > 0) {
        await goTo(page, 'Order book');
        await press(page, page.getByRole('button', { name: 'New order' }));
      }
      await enterOrder(page, { ...order, date: '2026-12-12' });
    }
    await goTo(page, 'Kitchen');
    for (const [index, keeps] of ['The whole shelf', 'Nothing', 'Nothing', 'The whole shelf'].entries()) {
      await fridge(page).nth(index).getByLabel('The household keeps').selectOption({ label: keeps });
    }
    await goTo(page, 'Week');
    await planned(page);
    const sizes = await measured(page);
    await goTo(page, 'Cold & counter');
    await lookAtFullest(page);
    await demandToScale(page, sizes);
    // Nothing stands on what the household keeps, on any day.
    const days = await strip(page).count();
    for (let day = 0; day < days; day += 1) {
      await strip(page).nth(day).click();
      const { front, tops } = await drawn(page);
      assert.deepEqual([tops[0].boxes.length, tops[3].boxes.length], [0, 0]);
      assert.equal(await page.locator('.cold-outside').count(), 0, 'everything has room');
      const top = (at) => front.shelves.find((shelf) => shelf.at === at);
      assert.ok(top(1) && top(2));
    }
    await saved(page);
  });
});

test('on paper every place in use is drawn, with the table', async () => {
  await withApp({ device: DEVICES.desk }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Cold & counter');
    await lookAtFullest(page);
    const used = await page.getByRole('group', { name: 'Place' }).getByRole('button').evaluateAll(
      (all) => all.filter((one) => !/: empty$/.test(one.getAttribute('aria-label'))).length,
    );
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    await page.emulateMedia({ media: 'print' });
    await page.waitForFunction((count) => document.querySelectorAll('.cold-place').length === count, used);
    assert.ok(used >= 1);
    const labels = page.locator('.cold-place .cold-label');
    assert.ok((await labels.count()) > 0);
    for (const label of await labels.all()) assert.ok(await label.isVisible(), 'labels are printed');
    assert.ok(await page.getByRole('heading', { name: /^Cold & counter: / }).isVisible());
    assert.ok(await page.getByRole('table').isVisible());
    assert.equal(await slider(page).isVisible(), false);
    await page.evaluate(() => dispatchEvent(new Event('afterprint')));
    await page.emulateMedia({ media: 'screen' });
    await page.waitForFunction(() => document.querySelectorAll('.cold-place').length === 1);
  });
});

test('from the gauges of a day to the place drawn at its fullest', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await press(page, page.getByRole('button', { name: /^Places on Saturday/ }));
    const dialog = page.getByRole('dialog', { name: /^Places on Saturday/ });
    await press(page, dialog.getByRole('button', { name: 'See the rack drawn to scale' }));
    await page.getByRole('heading', { level: 1, name: 'Cold & counter' }).waitFor();
    assert.equal(await place(page, /^Rack/).getAttribute('aria-pressed'), 'true');
    assert.equal(await strip(page).and(page.locator('[aria-current]')).count(), 1);
    assert.match(await strip(page).and(page.locator('[aria-current]')).getAttribute('aria-label'), /^Saturday 5 Dec, fullest/);
    assert.match(await slider(page).getAttribute('aria-valuetext'), /\d+ of \d+ trays$/);
  });
});
