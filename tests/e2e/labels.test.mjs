// Promise: an order's labels say what is in it, what it contains, until when it keeps and where; they stand on the sheet
// at their true size, and what does not fit is said.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { demandFingerSizes, demandNoSidewaysScroll, goTo, openApp, press, tryDemo } from './support/user.mjs';

const OUT = new URL('out', import.meta.url).pathname;

async function openLabels(page, server, client) {
  await openApp(page, server.url);
  await tryDemo(page);
  await goTo(page, 'Order book');
  await press(page, page.locator('summary', { hasText: 'Change' }).and(page.getByLabel(`Change the order for ${client}`)));
  await press(page, page.getByRole('button', { name: `Labels for ${client}` }));
  await page.getByRole('heading', { level: 2, name: `Labels for ${client}` }).waitFor();
}

for (const [size, device] of Object.entries({ tablet: DEVICES.tablet, tabletUpright: DEVICES.tabletUpright, phone: DEVICES.phone })) {
  test(`on a ${size} labels name what is in and until when it keeps, and too small a label says so`, async () => {
    await withApp({ device }, async ({ page, server }) => {
      await openLabels(page, server, 'Ottoline Marsh');
      const cookies = page.locator('section', { has: page.getByRole('heading', { name: 'Decorated cookies', exact: true }) }).last();
      const label = cookies.locator('.label-one');
      const text = await label.innerText();
      assert.match(text, /^Decorated cookies/);
      // The heaviest first: icing sugar and flour before salt.
      const named = text.match(/Ingredients: ([^.]*)\./)[1].split(', ');
      assert.ok(6 <= named.length && named.indexOf('flour') < named.indexOf('salt'), named.join());
      assert.match(text, /Contains: milk, egg, wheat\./);
      assert.match(text, /Best by \w+day \d+ \w+, \d\d:\d\d\. Keep cool and dry/);
      assert.match(text, /Made in a home kitchen/);
      const box = await label.boundingBox();
      assert.ok(Math.abs(box.width - (99.1 * 96) / 25.4) < 1 && Math.abs(box.height - (67.7 * 96) / 25.4) < 1, JSON.stringify(box));
      await page.screenshot({ path: `${OUT}/labels-${size}.png` });
      await demandAccessible(page);
      await page.getByLabel('Last line').fill(`${'Very long. '.repeat(15)}`);
      await page.getByLabel('Sheet', { exact: true }).selectOption({ label: 'Letter, 30 labels of 2⅝ × 1 in' });
      await cookies.getByText('Not all of it fits on this label: choose a larger one.').waitFor();
      await demandNoSidewaysScroll(page);
      await demandFingerSizes(page);
      await demandAccessible(page);
      await page.getByLabel('Last line').fill('My kitchen, table 4');
      await page.reload();
      assert.equal(await page.getByLabel('Last line').inputValue(), 'My kitchen, table 4', 'kept');
      assert.match(await page.getByLabel('Sheet', { exact: true }).locator('option:checked').innerText(), /^Letter, 30/);
    });
  });
}

test('the sheet leaves out labels that are gone, and prints as many as there are boxes', async () => {
  await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
    await openLabels(page, server, 'Ottoline Marsh');
    await page.getByLabel('Sheet', { exact: true }).selectOption({ label: 'A4, 21 labels of 63.5 × 38.1 mm' });
    await page.getByLabel('Labels gone from the first sheet', { exact: true }).fill('2');
    const counts = page.getByLabel(/^How many: [^:]*$/);
    for (let at = 0; at < (await counts.count()); at += 1) await counts.nth(at).fill(at === 0 ? '20' : '0');
    await page.emulateMedia({ media: 'print' });
    const papers = page.locator('.label-paper');
    assert.equal(await papers.count(), 2, '2 gone and 20: a sheet of 21 and one more');
    const cells = papers.first().locator('.label-one');
    assert.equal(await cells.count(), 21);
    assert.equal((await cells.nth(1).innerText()).trim(), '');
    assert.match(await cells.nth(2).innerText(), /Ingredients/);
    const mm = 96 / 25.4;
    const paper = await papers.first().boundingBox();
    const third = await cells.nth(2).boundingBox();
    assert.ok(Math.abs(third.x - paper.x - (7.25 + 2 * (63.5 + 2.5)) * mm) < 1, `third at ${third.x - paper.x}`);
    assert.ok(Math.abs(third.y - paper.y - 15.15 * mm) < 1 && Math.abs(third.height - 38.1 * mm) < 1);
    assert.ok(!(await page.getByRole('button', { name: 'Print the labels' }).isVisible()));
    await page.screenshot({ path: `${OUT}/labels-paper.png`, fullPage: true });
    const pdf = await page.pdf({ preferCSSPageSize: true }).catch(() => null);
    if (pdf) assert.ok(pdf.length > 1000);
  });
});
