// Promise: the plan comes out as a calendar file and orders and shopping as tables, as the open standards have them.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, press, said, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

/** Presses a button and reads the file that the browser then saves. */
async function file(page, name) {
  const section = page.getByRole('region', { name: 'For other programs' });
  const [download] = await Promise.all([page.waitForEvent('download'), press(page, section.getByRole('button', { name }))]);
  return [download.suggestedFilename(), await readFile(await download.path(), 'utf8')];
}

test('the plan as a calendar file, without names until they are wanted', async () => {
  await withApp({ device: DEVICES.tabletUpright, acceptDownloads: true }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Keep safe');
    const [name, text] = await file(page, 'Calendar file');
    assert.equal(name, 'rackweek-2026-11-30.ics');
    await said(page, 'Saved as rackweek-2026-11-30.ics');
    assert.match(text, /^BEGIN:VCALENDAR\r\nVERSION:2\.0\r\nPRODID:[^\r]+\r\n/);
    assert.ok(text.endsWith('END:VCALENDAR\r\n'));
    for (const line of text.split('\r\n')) assert.ok(Buffer.byteLength(line) <= 75, line);
    const lines = text.replaceAll('\r\n ', '').split('\r\n');
    const all = (key) => lines.filter((line) => line.startsWith(`${key}:`)).map((line) => line.slice(key.length + 1));
    const ids = all('UID');
    assert.ok(ids.length > 20, `${ids.length} entries`);
    assert.equal(new Set(ids).size, ids.length);
    assert.equal(all('BEGIN').filter((what) => what === 'VEVENT').length, ids.length);
    // Mixing the dough this evening, in universal time, which is London's in winter.
    const dough = lines.indexOf(lines.find((line) => /^SUMMARY:Mix the dough/.test(line)));
    assert.equal(lines[dough - 2], 'DTSTART:20261130T184500Z');
    assert.equal(lines[dough - 1], 'DTEND:20261130T191500Z');
    assert.ok(!/Ottoline|Juno|Perrin/.test(text), 'no client is named');
    assert.ok(all('TRIGGER').length > 0);
    // The next file moves the same entries, another book's stand apart.
    const again = (await file(page, 'Calendar file'))[1].replaceAll('\r\n ', '').split('\r\n');
    assert.deepEqual(again.filter((line) => line.startsWith('UID:')), ids.map((id) => `UID:${id}`));
    assert.match(ids[0], /@[0-9a-f]{28}\.rackweek$/);
    await page.getByLabel('Clients’ names in the calendar').check();
    await page.getByLabel('Alarms in the calendar').uncheck();
    const [, named] = await file(page, 'Calendar file');
    assert.match(named.replaceAll('\r\n ', ''), /SUMMARY:Handover · Ottoline Marsh/);
    assert.ok(!named.includes('VALARM'));
  });
});

test('orders and shopping as tables', async () => {
  await withApp({ device: DEVICES.phone, acceptDownloads: true }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Keep safe');
    const [name, orders] = await file(page, 'Orders as a table');
    assert.equal(name, 'rackweek-orders-2026-11-30.csv');
    const lines = orders.split('\r\n');
    assert.equal(lines[0], '\ufefforder,client,theme,handover,how,where to,product,pieces,spares,wish,stage,allergies,agreed,notes');
    assert.match(lines.find((line) => line.includes('Decorated cookies') && line.includes('Ottoline')), /^3,Ottoline Marsh,Moonlight harbour,2026-12-12T14:00,delivery,The boathouse,Decorated cookies,24,4,"Lanterns, /);
    await page.getByLabel('Clients’ names in the orders’ table').uncheck();
    assert.ok(!(await file(page, 'Orders as a table'))[1].includes('Ottoline'));
    const [, shopping] = await file(page, 'Shopping as a table');
    assert.match(shopping, /^\ufeffgroup,what,needed,lacking,buy,needed by,bought\r\n/);
    assert.match(shopping, /,butter,[\d.]+ k?g,/);
    await page.getByRole('region', { name: 'For other programs' }).scrollIntoViewIfNeeded();
    await page.screenshot({ path: `${OUT}/export-phone.png` });
    await demandNoSidewaysScroll(page);
    await demandFingerSizes(page);
    await demandAccessible(page);
  });
});
