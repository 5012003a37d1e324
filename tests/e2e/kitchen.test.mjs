// Promise: the kitchen takes true measurements only, says at the field what is wrong, and knows room that is cleared
// for a while: entered by hand, or taken from what helps a week that does not fit.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import {
  appReady,
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

const section = (page, title) => page.locator('section.card').filter({ has: page.getByRole('heading', { name: title, exact: true }) });

/** What a field says is wrong with it. */
async function errorAt(page, field) {
  await page.waitForFunction((element) => element.getAttribute('aria-invalid') === 'true', await field.elementHandle());
  const described = await field.getAttribute('aria-describedby');
  return page.locator(`#${described.split(' ').at(-1)}`).innerText();
}

test('a wrong measurement is refused in words at its field, and the kitchen stays as it was', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Kitchen');
    const shelf = section(page, 'Fridge').locator('.shelf').first();
    for (const [label, wrong, words] of [
      ['Width', '0', /for example/],
      ['Width', 'wide', /“wide” is not a whole number; write for example \d+/],
      ['Depth', '3000', /3000 mm.*50 to 1200.*for example/],
      ['Height', '-5', /for example/],
    ]) {
      const field = shelf.getByLabel(label, { exact: true });
      const before = await field.inputValue();
      await field.fill(wrong);
      await field.blur();
      assert.match(await errorAt(page, field), words, `${label} ${wrong}`);
      assert.equal(await field.inputValue(), wrong, 'what was typed stays to be mended');
      await demandNoSidewaysScroll(page);
      await field.fill(before);
      await field.blur();
      await page.waitForFunction((element) => !element.hasAttribute('aria-invalid'), await field.elementHandle());
    }
    const width = shelf.getByLabel('Width', { exact: true });
    const before = await width.inputValue();
    await width.fill('0');
    await width.blur();
    await errorAt(page, width);
    await saved(page);
    await page.reload();
    await appReady(page);
    await goTo(page, 'Kitchen');
    assert.equal(await width.inputValue(), before);
  });
});

test('what the household clears for a while is entered, listed, taken back and undone', async () => {
  await withApp({ device: DEVICES.tabletUpright }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Kitchen');
    const cleared = section(page, 'Cleared or taken for a while');
    const form = cleared.getByRole('group', { name: 'Another clearing' });
    await form.getByLabel('What of it').selectOption({ label: 'Cleared: a strip of the width' });
    const width = form.getByLabel('So much of the width');
    await width.fill('broad');
    await press(page, form.getByRole('button', { name: 'Clear it' }));
    assert.match(await errorAt(page, width), /“broad” is not a number; write for example 150/);
    await width.fill('150');
    await form.getByLabel('Until', { exact: true }).fill('2026-11-29');
    await press(page, form.getByRole('button', { name: 'Clear it' }));
    assert.match(await errorAt(page, form.getByLabel('Until', { exact: true })), /for example|after/);
    await form.getByLabel('Until', { exact: true }).fill('2026-12-01');
    await press(page, form.getByRole('button', { name: 'Clear it' }));
    await said(page, 'Noted as cleared');
    const rows = cleared.getByRole('listitem');
    assert.match(await rows.first().innerText(), /^Clear 15 × [\d.]+ cm of .* from Monday 30 Nov 18:00 until Tuesday 1 Dec 10:00\./);
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await demandAccessible(page);
    await press(page, rows.first().getByRole('button', { name: /^Remove/ }));
    await said(page, 'Clearing removed');
    assert.equal(await rows.count(), 0);
    await undo(page);
    await rows.first().waitFor();
  });
});

test('a week without room is offered a clearing, which can be looked at, done and undone', async () => {
  await withApp({}, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Kitchen');
    // The household keeps all of the one shelf that is high enough for pops on their sticks.
    const tall = section(page, 'Fridge').getByRole('group', { name: 'tall shelf' });
    await tall.getByLabel('The household keeps').selectOption({ label: 'The whole shelf' });
    await goTo(page, 'Week');
    await planned(page);
    const panel = page.getByRole('region', { name: 'Why it does not fit' });
    await press(page, panel.getByRole('button'));
    const dialog = page.getByRole('dialog', { name: 'Why it does not fit' });
    const ways = dialog.getByRole('button', { name: /^Show the week with: / });
    await ways.nth(2).waitFor({ timeout: 120_000 });
    const clear = /: Clear .* of the \w+ shelf of the fridge from .* until /;
    await press(page, dialog.getByRole('button', { name: clear }).and(page.getByText('Show')).first());
    const trial = page.getByRole('region', { name: 'Trial' });
    await trial.getByText('Nothing has changed yet').waitFor();
    await demandNoSidewaysScroll(page);
    await press(page, trial.getByRole('button', { name: 'Back' }));
    await panel.waitFor();

    await press(page, panel.getByRole('button'));
    await press(page, dialog.getByRole('button', { name: clear }).and(page.getByText('Do it')).first());
    await said(page, /^Done: Clear .* of the \w+ shelf of the fridge/);
    await planned(page);
    await panel.waitFor({ state: 'detached' });
    await goTo(page, 'Kitchen');
    const rows = section(page, 'Cleared or taken for a while').getByRole('listitem');
    assert.match(await rows.first().innerText(), /^Clear .* of the \w+ shelf of the fridge/);
    await undo(page);
    await said(page, /^Undone/);
    assert.equal(await rows.count(), 0);
    await goTo(page, 'Week');
    await planned(page);
    await panel.waitFor();
  });
});

for (const [size, device] of Object.entries({ tablet: DEVICES.tablet, phone: DEVICES.phone })) {
  test(`on a ${size} the rules of a region show their sources, stricter is taken and looser refused at the field`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      await goTo(page, 'Kitchen');
      const rules = page.getByRole('region', { name: 'Rules for keeping food' });
      await rules.scrollIntoViewIfNeeded();
      await rules.getByText(/decide, and may not allow some products/).waitFor();
      await rules.getByLabel('Where you work').selectOption({ label: 'England' });
      await rules.getByText('8 °C or below by law').waitFor();
      assert.equal(await rules.getByLabel('Fridge at most').inputValue(), '8');
      await press(page, rules.locator('summary', { hasText: 'Use within 7 days' }));
      await rules.getByText('The region’s own rules name no number here').first().waitFor();
      const days = rules.getByLabel('Days in all');
      await days.fill('9');
      await days.blur();
      await rules.getByText(/9 days is looser than the rule here allows.*give for example 1 to 7/).waitFor();
      await days.fill('4');
      await days.blur();
      await rules.getByText(/9 days is looser/).waitFor({ state: 'detached' });
      await saved(page);
      await rules.screenshot({ path: new URL(`out/rules-${size}.png`, import.meta.url).pathname });
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
      await page.reload();
      await appReady(page);
      await rules.scrollIntoViewIfNeeded();
      assert.equal(await days.inputValue(), '4');
      assert.equal(await rules.getByLabel('Where you work').inputValue(), 'england');
    });
  });
}
