// Promise: how warm the kitchen is can be said, and a time of her own counts instead of the reckoned one until she takes it back.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { appReady, demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, press, planned, saved, sittings, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

const section = (page, title) => page.locator('section.card').filter({ has: page.getByRole('heading', { name: title, exact: true }) });

/** The list's row of the tall cake's layers that cool. */
const cooling = (page) =>
  section(page, 'Waiting times').getByRole('listitem').filter({ hasText: 'Tall layer cake, baked layers' }).first();

async function enter(field, text) {
  await field.fill(text);
  await field.blur();
}

const until = (page, field, value) =>
  page.waitForFunction(([element, wanted]) => element.value === wanted, [field, value]);

test('a warmer fridge chills for longer, and what cannot be right is said at the field', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Kitchen');
    const air = section(page, 'How warm it is');
    const fridge = air.getByLabel('Fridge inside');
    await enter(fridge, '20');
    await page.waitForFunction((element) => element.getAttribute('aria-invalid') === 'true', await fridge.elementHandle());
    assert.match(await air.innerText(), /20 °C cannot be right; write 0 to 10, for example 4/);
    await enter(fridge, '7');
    await air.getByText('A fridge of 7 °C is too warm').waitFor();
    const freezer = air.getByLabel('Freezer inside');
    await enter(freezer, '20');
    await until(page, await freezer.elementHandle(), '-20');
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await demandAccessible(page);
  });
});

test('a time of her own counts after a reload, is refused where nothing is so fast, and is taken back', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Kitchen');
    const row = cooling(page);
    const field = row.getByLabel('It takes');
    const reckoned = await field.inputValue();
    assert.match(await row.innerText(), new RegExp(`on a rack at 22 °C: from 96 °C until its middle is at 30 °C: ${reckoned} min`));
    await enter(field, '3');
    await page.waitForFunction((element) => element.getAttribute('aria-invalid') === 'true', await field.elementHandle());
    assert.match(await row.innerText(), /even in iced water it would take/);
    const own = String(Number(reckoned) + 25);
    await enter(field, own);
    await row.getByText('timed by you').waitFor();
    await saved(page);
    await page.reload();
    await appReady(page);
    await goTo(page, 'Kitchen');
    assert.equal(await field.inputValue(), own);
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await press(page, row.getByRole('button', { name: /^Back to the reckoned/ }));
    await until(page, await field.elementHandle(), reckoned);
  });
});

test('in humid air the sitting that takes cold things out says that water settles on them', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    const dew = page.getByRole('dialog').getByText(/water settles on whatever is colder than \d+ °C/);
    /** Opens sittings one after the other until one tells it; says whether one did. */
    const told = async () => {
      await goTo(page, 'Week');
      await planned(page);
      const all = sittings(page);
      for (let at = 0; at < (await all.count()); at += 1) {
        // Opened by keyboard: what lies under another part of the page is reached too.
        await all.nth(at).press('Enter');
        await page.getByRole('dialog').waitFor();
        if (await dew.first().isVisible()) return true;
        await page.keyboard.press('Escape');
        await page.getByRole('dialog').waitFor({ state: 'hidden' });
      }
      return false;
    };
    const humidity = section(page, 'How warm it is').getByLabel('Humidity');
    await goTo(page, 'Kitchen');
    await enter(humidity, '20');
    await saved(page);
    assert.equal(await told(), false, 'dry air');
    await goTo(page, 'Kitchen');
    await enter(humidity, '80');
    await saved(page);
    assert.equal(await told(), true, 'humid air');
    await page.screenshot({ path: `${OUT}/week-dew.png` });
    await demandAccessible(page);
  });
});
