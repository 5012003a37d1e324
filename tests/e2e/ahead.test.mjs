// Promise: the week says how full the days ahead are and what of a heavy one can be done before; it prints on one sheet;
// breaks and tidying up are taken out of the time to work.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, planned, press, saved, tryDemo } from './support/user.mjs';

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
