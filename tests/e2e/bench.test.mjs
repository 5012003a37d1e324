// Promise: the bench sheet is worked from: what is started, paused, counted and done is kept, and no timer lies.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { appReady, demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, planned, press, said, saved, sittings, tryDemo, undo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

/** The clock on the wall, from now on. */
const at = (page, time) => page.clock.setFixedTime(new Date(`2026-11-30T${time}Z`));

/** The bench sheet of the demo's first evening, at a quarter to seven. */
async function evening(page, url, time = '18:46:00') {
  await openApp(page, url);
  await tryDemo(page);
  await at(page, time);
  await goTo(page, 'Bench sheet');
  await page.getByText(time.slice(0, 5), { exact: true }).waitFor({ timeout: 10_000 });
}

/** The cards of what is at hand. */
const cards = (page) => page.locator('article');
const card = (page, name) => cards(page).filter({ has: page.getByRole('heading', { name, exact: true }) }).first();
const list = (page, title) => page.locator('section').filter({ has: page.getByRole('heading', { level: 2, name: title, exact: true }) }).last();
const button = (within, name) => within.getByRole('button', { name });

test('a sitting is started, paused, gone on with and done; a reload between loses nothing', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await evening(page, server.url);
    const dough = card(page, 'Mix the dough');
    assert.match(await dough.innerText(), /Goes in\s+Baking powder\s+[\d.]+ g/);
    assert.match(await dough.innerText(), /See where: fridge/);
    await press(page, button(dough, /^Start: Mix the dough/));
    await said(page, 'Mix the dough is running');
    await saved(page);
    await at(page, '18:56:30');
    await page.reload();
    await appReady(page);
    const again = page.locator('article.running');
    await again.getByText('10 min of 30').waitFor();
    await press(page, button(again, /^Pause/));
    await card(page, 'Mix the dough').getByText('10 min of 30 · paused').waitFor();
    await at(page, '19:10:00');
    await press(page, button(card(page, 'Mix the dough'), /^Go on/));
    await at(page, '19:35:00');
    await page.getByText('35 min of 30: 5 longer than reckoned').waitFor();
    await press(page, button(card(page, 'Mix the dough'), /^Done/));
    await said(page, 'Mix the dough is done');
    // The pause does not count.
    const done = list(page, 'Done today').getByRole('listitem').filter({ hasText: 'Mix the dough' });
    await done.getByText('took 36 min of 30').waitFor();
    await press(page, done.locator('summary'));
    await press(page, button(done, 'It took about, minutes: more'));
    await done.getByText('took 40 min of 30').waitFor();
    await goTo(page, 'Week');
    await planned(page);
    const mixed = await sittings(page, /Mix the dough/).first().getAttribute('aria-label');
    assert.match(mixed, /18:4\d/);
    assert.match(mixed, /done/);
  });
});

test('what broke eats the spares, then the order, and it is said what to do', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await evening(page, server.url);
    const dough = card(page, 'Mix the dough');
    await press(page, button(dough, /^Start/));
    const whole = dough.getByLabel('Whole after this', { exact: true });
    const [, made, ordered] = (await dough.locator('.bench-pieces').innerText()).match(/of (\d+) cookies: (\d+) ordered/);
    assert.equal(await whole.inputValue(), made);
    await whole.fill(String(Number(ordered)));
    await dough.getByText('no spare left').waitFor();
    await whole.fill(String(Number(ordered) - 3));
    const short = dough.getByRole('group', { name: 'Too few pieces' });
    await short.getByText('3 too few for the order').waitFor();
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await demandAccessible(page);
    await press(page, button(short, 'Open the order'));
    await page.getByRole('heading', { level: 1, name: 'Order book' }).waitFor();
    await page.getByLabel('Client', { exact: true }).waitFor();
    await goTo(page, 'Bench sheet');
    assert.equal(await dough.getByLabel('Whole after this', { exact: true }).inputValue(), String(Number(ordered) - 3));
  });
});

test('a batch that failed is made again, and Undo takes it back', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await evening(page, server.url);
    await press(page, button(card(page, 'Mix the dough'), /^Start/));
    await at(page, '19:12:00');
    await press(page, button(card(page, 'Mix the dough'), /^Done/));
    const done = list(page, 'Done today').getByRole('listitem').filter({ hasText: 'Mix the dough' });
    await press(page, done.locator('summary'));
    await press(page, button(done, 'This batch failed'));
    const asked = page.getByRole('dialog', { name: 'Make this batch again?' });
    await press(page, button(asked, 'Make it again'));
    await said(page, 'is made again');
    await done.waitFor({ state: 'detached' });
    await saved(page);
    await undo(page);
    await done.waitFor();
  });
});

test('behind: what would move is shown first; nothing has changed until it is taken, and Undo brings it back', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await evening(page, server.url, '18:50:00');
    const tonight = async () => (await list(page, 'Later today').locator('.bench-row').allInnerTexts()).length;
    const before = await tonight();
    assert.ok(before > 0, `${before} rows tonight`);
    await press(page, page.getByRole('button', { name: 'Behind? Plan again from here' }));
    const dialog = page.getByRole('dialog', { name: 'Behind?' });
    await demandFingerSizes(page);
    await demandAccessible(page);
    await press(page, button(dialog, 'Not tonight'));
    await dialog.getByText(/^The week holds if this moves: \d+ sittings moved/).waitFor({ timeout: 30_000 });
    const moved = await dialog.getByRole('listitem').allInnerTexts();
    assert.ok(moved.some((line) => /Mon[^]*(Tue|Wed|Thu|Fri|Sat|Sun)/.test(line)), moved.join('\n'));
    await demandNoSidewaysScroll(page);
    await demandAccessible(page);
    await page.screenshot({ path: `${OUT}/bench-behind-phone.png` });
    await press(page, button(dialog, 'Leave it as it is'));
    await press(page, button(dialog, 'Close'));
    assert.equal(await tonight(), before);
    await press(page, page.getByRole('button', { name: 'Behind? Plan again from here' }));
    await press(page, button(dialog, 'Not tonight'));
    await press(page, button(dialog, 'Do it'));
    await said(page, 'Nothing more tonight: planned again');
    await page.getByRole('heading', { level: 2, name: 'Nothing more today' }).waitFor({ timeout: 30_000 });
    await saved(page);
    await undo(page);
    await undo(page);
    await list(page, 'Later today').locator('.bench-row').first().waitFor({ timeout: 30_000 });
  });
});

test('behind: running late keeps what runs where it is', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await evening(page, server.url, '18:50:00');
    await press(page, button(card(page, 'Mix the dough'), /^Start/));
    await saved(page);
    await press(page, page.getByRole('button', { name: 'Behind? Plan again from here' }));
    const dialog = page.getByRole('dialog', { name: 'Behind?' });
    await press(page, button(dialog, 'Running 1 h late'));
    await dialog.getByText(/^The week holds/).waitFor({ timeout: 30_000 });
    await page.screenshot({ path: `${OUT}/bench-behind-tablet.png` });
    await press(page, button(dialog, 'Do it'));
    await said(page, 'Running 1 h late: planned again');
    await page.locator('article.running').getByText('Mix the dough').first().waitFor();
    await goTo(page, 'Week');
    await planned(page);
    await page.getByText('running late').first().waitFor();
  });
});

test('a timer rings on every page, says after a sleep how long it has been over, and is heard once', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await evening(page, server.url);
    await page.getByLabel('A timer for').fill('Syrup');
    await press(page, page.getByRole('button', { name: 'Set a timer of 5 min' }));
    await said(page, 'Syrup: 5 min from now');
    await saved(page);
    const row = list(page, 'Timers').getByRole('listitem').filter({ hasText: 'Syrup' });
    await press(page, button(row, 'One minute more: Syrup'));
    await row.getByText('6:00').waitFor();
    await goTo(page, 'Order book');
    await at(page, '18:51:59');
    await page.getByRole('button', { name: 'Timers on the bench sheet, first: Syrup' }).getByText('0:01').waitFor();
    const ring = page.getByRole('group', { name: 'A timer is over' });
    assert.equal(await ring.count(), 0);
    await at(page, '18:52:00');
    await ring.getByText('ended just now').waitFor();
    await said(page, 'Syrup is over');
    // The device sleeps, and the page is thrown away.
    await at(page, '19:04:30');
    await page.reload();
    await appReady(page);
    await ring.getByText('ended 12 min ago').waitFor();
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await demandAccessible(page);
    await page.screenshot({ path: `${OUT}/bench-ring-phone.png` });
    await press(page, button(ring, 'Heard: Syrup'));
    await ring.waitFor({ state: 'detached' });
    await saved(page);
    await page.reload();
    await appReady(page);
    await page.getByRole('heading', { level: 1, name: 'Order book' }).waitFor();
    await page.waitForTimeout(1500);
    assert.equal(await ring.count(), 0);
  });
});

test('what is in the oven rings when its minutes are over, whatever the clock on the wall did between', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await evening(page, server.url);
    const bake = list(page, 'Later today').getByRole('listitem').filter({ hasText: 'Bake the cookies' }).first();
    const planned = await bake.innerText();
    const [, from, to] = planned.match(/(\d\d:\d\d)–(\d\d:\d\d)/).map((time) => time.split(':').reduce((hours, minutes) => 60 * hours + Number(minutes)));
    await press(page, bake.locator('summary'));
    assert.match(await bake.innerText(), /Not said to be done before it: Roll and cut/);
    await press(page, button(bake, /^Start now: Bake/));
    const oven = card(page, 'Bake the cookies');
    await oven.getByText(/left in the oven/).waitFor();
    const row = list(page, 'Timers').getByRole('listitem').filter({ hasText: 'Bake the cookies' });
    const [, minutes] = (await row.innerText()).match(/(\d+):\d\d/);
    assert.ok(Number(minutes) <= to - from && to - from - 15 < Number(minutes) + 1, `${minutes} of ${to - from}`);
    // Set back by an hour, as on the night in October: nothing rings early or twice.
    await at(page, '17:46:00');
    await page.waitForTimeout(1500);
    assert.equal(await page.getByRole('group', { name: 'A timer is over' }).count(), 0);
    await page.clock.setFixedTime(new Date(Date.parse('2026-11-30T18:46:00Z') + (to - from + 1) * 60_000));
    await page.getByRole('group', { name: 'A timer is over' }).getByText(/Bake the cookies/).waitFor();
    await press(page, button(oven, /^Out of the oven/));
    await said(page, 'Bake the cookies is done');
    await page.getByRole('group', { name: 'A timer is over' }).waitFor({ state: 'detached' });
  });
});

test('what was planned and not spoken of is asked about, and "Not yet" places it anew', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await evening(page, server.url);
    const asked = list(page, 'Was this done?').getByRole('listitem');
    await asked.first().waitFor();
    const name = (await asked.first().locator('strong').innerText()).trim();
    await press(page, button(asked.first(), `Not yet: ${name}`));
    await said(page, `${name} is placed anew`);
    await goTo(page, 'Week');
    await planned(page);
    const again = await sittings(page, new RegExp(name)).first().getAttribute('aria-label');
    assert.doesNotMatch(again, /^Monday.*07:00/, 'it no longer stands in the past');
    await undo(page);
    await goTo(page, 'Bench sheet');
    await press(page, button(asked.first(), `Yes, done: ${name}`));
    await said(page, `${name} is done`);
    await list(page, 'Done today').getByText(name).waitFor();
  });
});

test('on paper the sheet is open in full, without what can only be pressed', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await evening(page, server.url);
    await page.evaluate(() => {
      window.print = () => {
        window.dispatchEvent(new Event('beforeprint'));
        window.printed = (window.printed ?? 0) + 1;
      };
    });
    const rows = list(page, 'Later today').locator('details');
    const many = await rows.count();
    assert.ok(many > 0);
    await press(page, page.getByRole('button', { name: 'Print this sheet' }));
    assert.equal(await page.evaluate(() => window.printed), 1);
    assert.equal(await list(page, 'Later today').locator('details[open]').count(), many);
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width: 794, height: 1123 });
    assert.equal(await page.getByRole('button').filter({ visible: true }).count(), 0);
    await list(page, 'Later today').getByText(/^Goes in/).first().waitFor();
    await page.screenshot({ path: `${OUT}/bench-paper.png`, fullPage: true });
    await page.emulateMedia({ media: 'screen' });
    await page.evaluate(() => window.dispatchEvent(new Event('afterprint')));
    assert.equal(await list(page, 'Later today').locator('details[open]').count(), 0);
  });
});

for (const [device, scheme] of [['tablet', 'light'], ['tabletUpright', 'dark'], ['phone', 'dark'], ['desk', 'light']]) {
  test(`the bench sheet at work can be looked at: ${device}, ${scheme}`, async () => {
    await withApp({ device: DEVICES[device], colorScheme: scheme }, async ({ page, server }) => {
      await evening(page, server.url);
      await press(page, button(card(page, 'Mix the dough'), /^Start/));
      await press(page, page.getByRole('button', { name: 'Set a timer of 12 min' }));
      await at(page, '18:55:00');
      await page.getByText('9 min of 30').waitFor();
      await press(page, list(page, 'Later today').locator('summary').first());
      await page.evaluate(() => document.querySelector('main').scrollTo(0, 0));
      await page.screenshot({ path: `${OUT}/bench-${device}-${scheme}.png` });
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
    });
  });
}
