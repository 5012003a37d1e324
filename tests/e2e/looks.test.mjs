// Promise: every page can be read and used at every size, by sight, by finger and by screen reader.

import assert from 'node:assert/strict';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';

import { demandAccessible } from './support/axe.mjs';
import { DEVICES, withApp } from './support/browser.mjs';
import { ROOT } from './support/server.mjs';
import {
  PAGES,
  demandFingerSizes,
  demandNoSidewaysScroll,
  goTo,
  openApp,
  press,
  tryDemo,
} from './support/user.mjs';

const OUT = path.join(ROOT, 'tests/e2e/out');
await mkdir(OUT, { recursive: true });

const SIZES = { tablet: DEVICES.tablet, upright: DEVICES.tabletUpright, phone: DEVICES.phone, desk: DEVICES.desk };

for (const [size, device] of Object.entries(SIZES)) {
  for (const colorScheme of ['light', 'dark']) {
    test(`every page holds on a ${size}, ${colorScheme}`, async () => {
      await withApp({ device, colorScheme }, async ({ page, server }) => {
        await openApp(page, server.url);
        const wrong = [];
        const look = async (name) => {
          const picture = await page.screenshot({ path: path.join(OUT, `${name}-${size}-${colorScheme}.png`) });
          // The README shows this one; it is replaced only on purpose.
          if (process.env.RACKWEEK_SHOTS && `${name}-${size}-${colorScheme}` === 'week-tablet-light') {
            await writeFile(path.join(ROOT, 'tests/e2e/shots/week.png'), picture);
          }
          // Everything that is wrong is told in one go, page by page.
          for (const demand of [demandNoSidewaysScroll, demandFingerSizes, demandAccessible]) {
            await demand(page).catch((problem) => wrong.push(`${name}: ${problem.message}`));
          }
        };
        await look('first');
        await tryDemo(page);
        // What was said about the demo would lie over the pictures.
        const hide = page.getByRole('button', { name: 'Hide this message' });
        if (await hide.isVisible()) await press(page, hide);
        for (const title of PAGES) {
          await goTo(page, title);
          await look(title.toLowerCase().replaceAll(/[^a-z]+/g, '-'));
        }
        await goTo(page, 'Cold & counter');
        for (const place of ['Rack', 'Counter', 'Fridge']) {
          await press(page, page.getByRole('group', { name: 'Place' }).getByRole('button', { name: new RegExp(`^${place}`) }));
          await press(page, page.getByRole('list', { name: 'Each day at its fullest moment' }).getByRole('button', { name: /fullest/ }).last());
          await look(`cold-counter-${place.toLowerCase()}`);
        }
        await press(page, page.locator('.cold-top [data-box]').first());
        await look('cold-counter-box');
        await press(page, page.getByRole('button', { name: 'Close what is told about this box' }));
        await goTo(page, 'Order book');
        await press(page, page.getByRole('button', { name: 'New order' }));
        await look('order-form');
        assert.equal(wrong.length, 0, wrong.join('\n'));
      });
    });
  }
}

test('with the colours of the system boxes, shelves and what is kept are told apart by edges', async () => {
  await withApp({ device: DEVICES.tablet, forcedColors: 'active' }, async ({ page, server }) => {
    await openApp(page, server.url);
    await tryDemo(page);
    await goTo(page, 'Cold & counter');
    await press(page, page.getByRole('list', { name: 'Each day at its fullest moment' }).getByRole('button', { name: /fullest/ }).last());
    await page.locator('.cold-top [data-box]').first().waitFor();
    await page.screenshot({ path: path.join(OUT, 'cold-counter-forced.png') });
    const seen = await page.evaluate(() => {
      const of = (selector, property) => getComputedStyle(document.querySelector(selector))[property];
      return {
        box: [of('.cold-box > rect', 'stroke'), of('.cold-box > rect', 'fill')],
        ground: [of('.cold-edge', 'stroke'), of('.cold-ground', 'fill')],
        hatch: [of('.cold-hatch', 'stroke'), of('.cold-kept', 'fill')],
        label: [of('.cold-label', 'fill'), of('.cold-box > rect', 'fill')],
      };
    });
    for (const [what, [line, behind]] of Object.entries(seen)) assert.notEqual(line, behind, what);
  });
});
