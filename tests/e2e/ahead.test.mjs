// Promise: the week says how full the days ahead are and what of a heavy one can be done before; it prints on one sheet;
// breaks and tidying up are taken out of the time to work.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { appReady, demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, planned, press, saved, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

for (const [size, device, colorScheme] of [['tablet', DEVICES.tablet, 'light'], ['phone', DEVICES.phone, 'dark']]) {
  test(`the days ahead are told, and a heavy one with what can go before: ${size}`, async () => {
    await withApp({ device, colorScheme }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      // Evenings that hold little are heavy soon.
      await goTo(page, 'My time');
      const limit = page.getByLabel('On a day with day job');
      await limit.fill('120');
      await limit.blur();
      await saved(page);
      await goTo(page, 'Week');
      await planned(page);
      await press(page, page.locator('.week-goodness'));
      const dialog = page.getByRole('dialog', { name: 'This plan' });
      const days = dialog.locator('.week-ahead > li');
      await days.first().waitFor();
      const told = await days.allInnerTexts();
      for (const day of told) assert.match(day, /(\d+ h|\d+ min).* of /, day);
      const heavy = told.filter((day) => day.includes(', heavy'));
      assert.ok(0 < heavy.length && heavy.length <= told.length, told.join(' | '));
      await dialog.getByText(/so often each order left on time/).waitFor();
      await days.last().scrollIntoViewIfNeeded();
      await page.screenshot({ path: `${OUT}/ahead-${size}.png` });
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
    });
  });
}

test('the week prints on one sheet on its side', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await planned(page);
    for (const format of ['A4', 'Letter']) {
      const paper = await page.pdf({ format, preferCSSPageSize: true });
      const pages = paper.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g);
      assert.equal(pages?.length, 1, format);
    }
    await page.emulateMedia({ media: 'print' });
    // As printing itself says it, which a medium alone does not.
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    const sheet = page.locator('.week-paper');
    assert.ok(await sheet.isVisible());
    assert.equal(await page.locator('.week-scroll').isVisible(), false);
    const columns = await sheet.locator('section').allInnerTexts();
    assert.equal(columns.length, 7);
    assert.ok(columns.some((column) => /☐ \d\d:\d\d–\d\d:\d\d \w\w /.test(column)), columns.join('\n'));
    await page.setViewportSize({ width: 1122, height: 793 });
    await page.screenshot({ path: `${OUT}/week-paper.png` });
  });
});

test('breaks and tidying up are taken out of the time to work', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'My time');
    for (const [label, minutes] of [['Tidying up before bed', '45'], ['A break after working for', '90'], ['Length of a break', '20']]) {
      const field = page.getByLabel(label, { exact: true });
      await field.fill(minutes);
      await field.blur();
    }
    const field = page.getByLabel('A break after working for', { exact: true });
    await field.fill('5');
    await field.blur();
    await page.getByText(/5 minutes is no stretch of work; write 30 to 600, for example 120/).waitFor();
    await saved(page);
    await demandNoSidewaysScroll(page);
    await demandAccessible(page);
    await field.scrollIntoViewIfNeeded();
    await page.screenshot({ path: `${OUT}/rhythm.png` });
    await goTo(page, 'Week');
    await planned(page);
    await page.getByText('break', { exact: true }).first().waitFor();
    await page.screenshot({ path: `${OUT}/week-breaks.png` });
  });
});

test('somebody who helps is named on what is theirs, in the week and at the bench', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await planned(page);
    await goTo(page, 'My time');
    await press(page, page.getByRole('button', { name: 'Somebody helps' }));
    const day = page.getByRole('group', { name: /^Somebody helps/ });
    const write = async (label, text) => {
      await day.getByLabel(label, { exact: true }).fill(text);
      await day.getByLabel(label, { exact: true }).blur();
    };
    await write('Name', 'Nell');
    await write('Date', '2026-12-02');
    await write('From', '18:45');
    await write('To', '22:00');
    await saved(page);
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await demandAccessible(page);
    await goTo(page, 'Week');
    await planned(page);
    const theirs = page.getByRole('button', { name: /^Wednesday .*, by Nell/ });
    await theirs.first().waitFor();
    assert.equal(await page.getByRole('button', { name: /, by Nell, fine handwork/ }).count(), 0, 'fine handwork stays hers');
    await page.screenshot({ path: `${OUT}/helper-week.png` });
    await theirs.first().focus();
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').getByText(/ · by Nell/).waitFor();
    await page.screenshot({ path: `${OUT}/helper-sheet.png` });
  });
});

test('a helper at the door is taken in with one tap, once it is shown what moves', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await planned(page);
    await saved(page);
    await page.clock.setFixedTime(new Date('2026-11-30T18:50:00Z'));
    await page.reload();
    await appReady(page);
    await goTo(page, 'Bench sheet');
    await press(page, page.getByRole('button', { name: 'Behind? Plan again from here' }));
    const dialog = page.getByRole('dialog', { name: 'Behind?' });
    await press(page, dialog.getByRole('button', { name: 'A helper for 2 h' }));
    await dialog.getByText(/^The week holds/).waitFor({ timeout: 30_000 });
    await page.screenshot({ path: `${OUT}/helper-now.png` });
    await press(page, dialog.getByRole('button', { name: 'Do it' }));
    await page.getByText('A helper for 2 h: planned again').waitFor();
    await page.getByText(/by a helper/).first().waitFor({ timeout: 30_000 });
    await saved(page);
    await demandNoSidewaysScroll(page);
    await demandAccessible(page);
  });
});

test('a shelf that is full tonight is planned around, with one tap', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await planned(page);
    await page.clock.setFixedTime(new Date('2026-11-30T18:50:00Z'));
    await page.reload();
    await appReady(page);
    await goTo(page, 'Bench sheet');
    await press(page, page.getByRole('button', { name: 'Behind? Plan again from here' }));
    const dialog = page.getByRole('dialog', { name: 'Behind?' });
    await press(page, dialog.getByRole('button', { name: /^The middle shelf is taken until tomorrow morning$/ }));
    await dialog.getByText(/^The week holds/).waitFor({ timeout: 30_000 });
    await demandFingerSizes(page);
    await demandAccessible(page);
    await page.screenshot({ path: `${OUT}/fridge-full.png` });
    await press(page, dialog.getByRole('button', { name: 'Do it' }));
    await page.getByText('The middle shelf is taken until tomorrow morning: planned again').waitFor();
    await saved(page);
    await goTo(page, 'Kitchen');
    const agreed = page.getByText(/^The household needs the middle shelf of the fridge from Monday 30 Nov 18:50 until Tuesday 1 Dec 10:00/);
    await agreed.scrollIntoViewIfNeeded();
    await page.screenshot({ path: `${OUT}/taken.png` });
    await demandNoSidewaysScroll(page);
    await demandAccessible(page);
  });
});
