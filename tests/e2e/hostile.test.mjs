// Promise: whatever is written into a field is text, on every page and in every file, and nothing else.
//
// `withApp` fails on anything that the page's policy refused and on any error that nobody caught.

import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { readFile, writeFile, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { test } from 'node:test';

import { DEVICES, withApp } from './support/browser.mjs';
import { HOSTILE } from './support/hostile.mjs';
import { photo } from './support/photo.mjs';
import { PAGES, demandNoSidewaysScroll, goTo, openApp, press, rowsDrawn, said, saved, tryDemo } from './support/user.mjs';

assert.ok(new Set(HOSTILE).size >= 100, `${HOSTILE.length} texts`);

/** Nothing of these texts became a part of the page. */
async function demandOnlyText(page, where) {
  const found = await page.evaluate(() => ({
    broken: window.broken ?? null,
    polluted: {}.polluted ?? null,
    strangers: document.querySelectorAll(
      'body script, iframe, base, form[action], img[src="x"], [onerror], [onload], [onfocus], [onmouseover], [ontoggle], a[href^="javascript:"], a[href^="data:"], math',
    ).length,
  }));
  assert.deepEqual(found, { broken: null, polluted: null, strangers: 0 }, where);
}

async function exported(page) {
  await goTo(page, 'Keep safe');
  const download = page.waitForEvent('download');
  await press(page, page.getByRole('button', { name: 'Export a backup' }));
  return JSON.parse(await readFile(await (await download).path(), 'utf8'));
}

/** What is filled in freely of an order. */
const texts = (body) => [
  ...[body.client, body.theme, body.notes, body.allergies],
  ...[...body.items.map((item) => item.notes), ...body.pictures.map((one) => one.words)],
];

/** A small picture of the backup, another one for each number. */
function picture(backup, number, words) {
  const { buffer } = photo('', 4, 3, [number % 256, number >> 8, 0], [250, 250, 245]);
  const text = `data:image/png;base64,${buffer.toString('base64')}`;
  const id = createHash('sha256').update(text).digest('hex').slice(0, 32);
  backup.pictures ??= {};
  backup.pictures[id] = text;
  return { id, width: 4, height: 3, words };
}

/** Puts a text of the list, each in turn, into every place that is filled in freely; gives what stands where. */
function fillIn(backup) {
  let turn = 0;
  const next = () => HOSTILE[turn++ % HOSTILE.length];
  // A name may not be blank.
  const name = () => {
    for (;;) {
      const text = next();
      if (text.replaceAll(/[\s\ufeff\u0085\u2028]/gu, '') !== '') return text;
    }
  };
  const placed = {};
  const orders = backup.records.filter((record) => record.kind === 'order');
  const sample = JSON.stringify(orders.find((record) => record.body.stage === 'enquiry') ?? orders[0]);
  for (let id = 100; id < 100 + HOSTILE.length; id += 1) {
    const order = JSON.parse(sample);
    order.id = String(id);
    order.body.stage = 'enquiry';
    if ('id' in order.body) order.body.id = id;
    orders.push(order);
    backup.records.push(order);
  }
  for (const { id, body } of orders) {
    Object.assign(body, { client: name(), theme: next(), notes: next(), allergies: next() });
    if (body.handover.way.place !== undefined) body.handover.way.place = name();
    for (const item of body.items) item.notes = next();
    // As many as one order may have with the first, one with each of the others.
    const many = id === orders[0].id ? 12 : 1;
    body.pictures = Array.from({ length: many }, (_, at) => picture(backup, Number(id) * 12 + at, next()));
    placed[id] = texts(body);
  }
  for (const { kind, body } of backup.records) {
    if (kind === 'kitchen') for (const shelf of [...body.fridge, ...body.freezer, ...body.room, ...body.racks]) shelf.name = name();
    if (kind === 'time') for (const span of [...body.day_job, ...body.family, ...body.exceptions]) span.label = name();
  }
  return placed;
}

/** The order with most pictures shows each by its words, letter by letter. */
async function demandPicturesNamed(page, orders) {
  const { id, body } = orders.find((order) => order.body.pictures.length === 12);
  await page.goto(new URL(`?page=orders&order=${id}`, page.url()).href);
  const images = page.getByRole('list', { name: 'Pictures of this order' }).locator('img');
  await images.nth(11).waitFor();
  const shown = await images.evaluateAll((all) => all.map((image) => image.alt));
  const said = body.pictures.map(({ words }, at) => (words === '' ? `Picture ${at + 1} of this order` : words));
  assert.deepEqual(shown, said);
  await demandOnlyText(page, 'pictures');
  await demandNoSidewaysScroll(page);
}

test('a book full of hostile texts is restored, stands on every page as text, and comes out as it went in', async () => {
  const folder = await mkdtemp(path.join(tmpdir(), 'rackweek-hostile-'));
  try {
    await withApp({ acceptDownloads: true, device: DEVICES.tablet }, async ({ page, server }) => {
      await openApp(page, server.url);
      await tryDemo(page);
      const backup = await exported(page);
      const placed = fillIn(backup);
      const file = path.join(folder, 'backup.json');
      await writeFile(file, JSON.stringify(backup));
      await page.getByLabel('Backup file').setInputFiles(file);
      await press(page, page.getByRole('dialog').getByRole('button', { name: 'Restore it' }));
      await said(page, 'Backup restored');
      await saved(page);
      for (const title of PAGES) {
        await goTo(page, title);
        await page.waitForTimeout(300);
        await demandOnlyText(page, title);
        await demandNoSidewaysScroll(page).catch((problem) => assert.fail(`${title}: ${problem.message}`));
      }
      await goTo(page, 'Order book');
      // A long book is drawn in parts.
      await rowsDrawn(page);
      const more = page.getByRole('button', { name: /^Show \d+ more of/ });
      while ((await more.count()) > 0) await press(page, more);
      const shown = (await page.locator('main').textContent()).replaceAll(/\s+/gu, ' ');
      const clients = Object.values(placed).map(([client]) => client);
      const missing = clients.filter((client) => !shown.includes(client.replaceAll(/\s+/gu, ' ').trim()));
      assert.deepEqual(missing, [], 'every client stands in the order book, letter by letter');
      const again = await exported(page);
      await demandPicturesNamed(page, again.records.filter(({ kind }) => kind === 'order'));
      for (const { kind, id, body } of again.records) {
        if (kind !== 'order') continue;
        assert.deepEqual(texts(body), placed[id], `order ${id}`);
      }
    });
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
});

test('hostile texts typed into the fields of an order stay as they were typed', async () => {
  await withApp({ device: DEVICES.phone }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Order book');
    await press(page, page.getByRole('button', { name: 'New order' }));
    const fields = page.locator('main').locator('input[type="text"]:not([inputmode]), input:not([type]):not([inputmode]), textarea');
    const many = await fields.count();
    assert.ok(many >= 4, `${many} fields of text`);
    for (const text of HOSTILE) {
      for (let at = 0; at < many; at += 1) {
        const field = fields.nth(at);
        if (!(await field.isVisible())) continue;
        await field.fill(text);
        const typed = await field.inputValue();
        // A mark is two letters; what is longer is cut, and nothing is put in its place.
        const most = Number((await field.getAttribute('maxlength')) ?? Infinity);
        if (text.length > most) assert.ok(text.startsWith(typed), `field ${at}: ${typed}`);
        else assert.equal(typed, text, `field ${at}`);
      }
    }
    await demandOnlyText(page, 'order form');
    await demandNoSidewaysScroll(page);
  });
});
