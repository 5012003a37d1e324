// Promise: beside the order form it says whether the order can be taken, and what would help; it never shows an
// answer to anything but what the form says, and never writes to the book.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { DEVICES, withApp } from './support/browser.mjs';
import { appReady, demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, press, tryDemo } from './support/user.mjs';
import { demandAccessible } from './support/axe.mjs';

const COOKIES = 'Decorated cookies';

const panel = (page) => page.getByRole('complementary', { name: 'Can you take this?' });
const answered = (page) => page.locator('.fit[data-fit="done"]').waitFor({ timeout: 120_000 });
const date = (page) => page.getByLabel('Date', { exact: true });
const count = (page) => page.getByRole('group', { name: COOKIES, exact: true }).getByRole('textbox').first();

/** Opens a new order of cookies in the demo's planned week. */
async function newOrder(page, server) {
  await openApp(page, server.url);
  await tryDemo(page);
  await goTo(page, 'Order book');
  await press(page, page.getByRole('button', { name: 'New order' }));
  await panel(page).getByText('Choose the day').waitFor();
  await press(page, page.getByRole('list', { name: 'Products' }).getByRole('button', { name: COOKIES }));
}

/** Writes what is wanted and waits for the whole answer. */
async function ask(page, pieces, day) {
  await count(page).fill(String(pieces));
  await date(page).fill(day);
  // What was known before is gone at once.
  await page.locator('.fit[data-fit="looking"], .fit[data-fit="known"], .fit[data-fit="done"]').waitFor();
  await page.locator(`[data-fit-asked^="${day}"]`).waitFor({ timeout: 60_000 });
  await answered(page);
}

/** Everything that is on disk. */
function onDisk(page) {
  return page.evaluate(async () => {
    const opened = await new Promise((resolve, reject) => {
      const request = indexedDB.open('rackweek');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const all = {};
    for (const name of opened.objectStoreNames) {
      const store = opened.transaction(name).objectStore(name);
      const read = (request) => new Promise((resolve) => (request.onsuccess = () => resolve(request.result)));
      all[name] = [await read(store.getAllKeys()), await read(store.getAll())];
    }
    opened.close();
    return JSON.stringify(all);
  });
}

test('an order far ahead fits: when it is worked on, what moves, and the week as a trial', async () => {
  await withApp({}, async ({ page, server }) => {
    await newOrder(page, server);
    const before = await onDisk(page);
    await ask(page, 12, '2026-12-18');
    const fit = panel(page);
    await fit.getByText('It fits', { exact: true }).waitFor();
    await fit.getByText(/by hand, of which .* fine handwork/).waitFor();
    assert.ok((await fit.getByRole('list', { name: 'When you would work on it' }).getByRole('listitem').count()) > 0);
    assert.match(await fit.getByRole('status').innerText(), /^It fits: /);
    await press(page, fit.getByRole('button', { name: /^Show the week/ }));
    await fit.getByText('A trial. Nothing is saved.').waitFor();
    assert.ok((await fit.locator('.trial-lines .added').count()) > 0, 'what is added is marked');
    await fit.getByText('10:00 handover').waitFor();
    assert.equal(await fit.locator('.trial button, .trial a').count(), 0, 'nothing in a trial can be pressed');
    await demandAccessible(page);
    assert.equal(await onDisk(page), before, 'trying an order writes nothing');
    // Writing a name asks nothing anew.
    const number = await fit.getAttribute('data-fit-number');
    await page.getByLabel('Client', { exact: true }).fill('Ines K.');
    await page.waitForTimeout(600);
    assert.equal(await fit.getAttribute('data-fit-number'), number);
    await fit.getByText('It fits', { exact: true }).waitFor();
  });
});

for (const device of ['tabletUpright', 'phone']) {
  test(`a tight week on a ${device}: ways with their costs and weeks, the short answer beside “Save order”`, async () => {
    await withApp({ device: DEVICES[device] }, async ({ page, server }) => {
      await newOrder(page, server);
      await ask(page, 40, '2026-12-04');
      const short = page.locator('.fit-short');
      assert.match(await short.innerText(), /It fits/);
      await press(page, short);
      const fit = panel(page);
      const ways = fit.getByRole('list', { name: 'Ways to make it fit' }).locator('> li');
      const many = await ways.count();
      assert.ok(many > 0);
      for (let index = 0; index < many; index += 1) {
        const way = ways.nth(index);
        await way.getByText(/^Costs: \S/).waitFor();
        await press(page, way.getByRole('button', { name: /^Show the week/ }));
        assert.ok((await way.locator('.trial-lines .added').count()) > 0, 'its week has the order in it');
        await demandNoSidewaysScroll(page);
        await press(page, way.getByRole('button', { name: /^Hide the week/ }));
      }
      await fit.getByText('Why not as asked').waitFor();
      await demandFingerSizes(page);
      await demandAccessible(page);
    });
  });
}

test('too soon: the first day that works is named, and taking it makes it fit', async () => {
  await withApp({}, async ({ page, server }) => {
    await newOrder(page, server);
    await ask(page, 40, '2026-12-01');
    const fit = panel(page);
    await fit.getByText(/[Nn]ot before \w+day \d+ Dec, 10:00/).first().waitFor();
    const asked = await fit.getAttribute('data-fit-number');
    await press(page, fit.getByRole('button', { name: 'Take this date' }));
    assert.ok((await date(page).inputValue()) > '2026-12-01');
    await page.locator(`[data-fit-asked^="${await date(page).inputValue()}"]`).waitFor({ timeout: 60_000 });
    await answered(page);
    assert.ok(Number(await fit.getAttribute('data-fit-number')) > Number(asked));
    await fit.getByText('It fits', { exact: true }).waitFor();
    // It is in the form and nowhere else.
    await goTo(page, 'Order book');
    await page.getByText('An order that is not saved').waitFor();
  });
});

test('the order book says of each confirmed order how surely it is on time, and of an enquiry nothing', async () => {
  await withApp({}, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Order book');
    const rows = page.locator('.order-row');
    const confirmed = rows.filter({ hasText: 'Confirmed' });
    await confirmed.first().getByText(/On time: /).waitFor({ timeout: 60_000 });
    assert.equal(await confirmed.getByText(/On time: |Does not fit/).count(), await confirmed.count());
    assert.equal(await rows.filter({ hasText: 'Enquiry' }).getByText(/On time: /).count(), 0);
    const stages = page.getByRole('group', { name: 'Show stage' });
    assert.equal(await stages.getByRole('button', { name: 'Declined' }).count(), 0, 'nothing is declined');
  });
});

test('typing fast never shows an answer to something else', async () => {
  await withApp({}, async ({ page, server }) => {
    await newOrder(page, server);
    await page.evaluate(() => {
      const fit = document.querySelector('.fit');
      const field = document.getElementById('order-handover-date');
      window.seen = [];
      const look = () => {
        const answer = fit.querySelector('[data-fit-asked]');
        window.seen.push({
          number: Number(fit.dataset.fitNumber),
          state: fit.dataset.fit,
          asked: answer?.dataset.fitAsked ?? null,
          field: field.value,
        });
      };
      new MutationObserver(look).observe(fit, { subtree: true, childList: true, attributes: true, characterData: true });
    });
    // Some pauses are shorter than what is waited for before asking, some longer, some as long as an answer takes.
    const days = ['2026-12-16', '2026-12-17', '2026-12-18', '2026-12-04', '2026-12-19', '2026-12-02', '2026-12-20'];
    for (const [index, day] of days.entries()) {
      await date(page).fill(day);
      await page.waitForTimeout([40, 120, 420, 900, 60, 1500, 200][index]);
    }
    await answered(page);
    const seen = await page.evaluate(() => window.seen);
    const answers = seen.filter((one) => one.asked !== null);
    assert.ok(answers.length > 0);
    for (const one of answers) {
      assert.equal(one.asked.slice(0, 10), one.field, `an answer about ${one.asked} while the form says ${one.field}`);
    }
    assert.equal(answers.at(-1).field, days.at(-1));
    const numbers = seen.map((one) => one.number);
    assert.deepEqual(numbers, [...numbers].sort((a, b) => a - b), 'questions are numbered upwards');
    assert.ok(new Set(numbers).size >= days.length, 'each change made the question before void');
  });
});

test('what was typed comes back after a reload, and is tried without a network', async () => {
  await withApp({}, async ({ context, page, server }) => {
    await newOrder(page, server);
    await page.waitForSelector('html[data-offline="ready"]', { state: 'attached' });
    await ask(page, 12, '2026-12-18');
    await context.setOffline(true);
    await server.stop();
    await page.reload();
    await appReady(page);
    assert.equal(await date(page).inputValue(), '2026-12-18');
    await page.locator('[data-fit-asked^="2026-12-18"]').waitFor({ timeout: 60_000 });
    await answered(page);
    await panel(page).getByText('It fits', { exact: true }).waitFor();
    await context.setOffline(false);
    await server.start();
  });
});
