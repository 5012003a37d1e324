// Measures how long *Cold & counter* takes to lay out every place, in the built app at a quarter of the processor's
// speed: `node tests/e2e/support/measure-cold.mjs [TIMES]`.
//
// Everything is laid out anew whenever the page is opened or the plan changes: here the page is opened so many times,
// with the demo, and with three orders of one weekend in a fridge of which two shelves are free. Prints milliseconds
// on the page's own thread, and of one step of the slider from key to next frame. Chromium slows down the page's
// thread as asked, not the planner's worker. On a machine that does other work meanwhile the largest figures are that work's.

import { DEVICES, withApp } from './browser.mjs';
import { enterOrder, goTo, openApp, planned, press, saved, tryDemo } from './user.mjs';

const TIMES = Number(process.argv[2] ?? 20);
const SLOWER = 4;

function line(name, all) {
  const sorted = [...all].sort((a, b) => a - b);
  const at = (share) => sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)];
  const figures = `p50 ${at(0.5).toFixed(1)} ms, p95 ${at(0.95).toFixed(1)} ms, most ${at(1).toFixed(1)} ms`;
  console.log(`${name}: ${figures} (${sorted.length} times, processor ${SLOWER} times slower)`);
}

/** Opens the page again and again, and each time reads how long laying out took. */
async function measure(page, name) {
  const cdp = await page.context().newCDPSession(page);
  await goTo(page, 'Cold & counter');
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: SLOWER });
  const packing = [];
  for (let time = 0; time < TIMES; time += 1) {
    await goTo(page, 'Keep safe');
    await goTo(page, 'Cold & counter');
    await page.getByRole('slider').waitFor();
    packing.push(Number(await page.locator('[data-packing-ms]').getAttribute('data-packing-ms')));
  }
  line(`${name}, all places laid out`, packing);
  const steps = await page.evaluate(async (times) => {
    const slider = document.querySelector('.cold-slider');
    const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
    const all = [];
    for (let time = 0; time < times * 4; time += 1) {
      slider.value = String((Number(slider.value) + 1) % (Number(slider.max) + 1));
      const begun = performance.now();
      slider.dispatchEvent(new Event('input', { bubbles: true }));
      await frame();
      all.push(performance.now() - begun);
    }
    return all;
  }, TIMES);
  line(`${name}, a step of the slider to the next frame`, steps);
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: 1 });
}

await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
  await openApp(page, server.url);
  await tryDemo(page);
  await measure(page, 'demo');
});

await withApp({ device: DEVICES.tablet }, async ({ page, server }) => {
  await openApp(page, server.url);
  await press(page, page.locator('.first-kitchens').getByRole('button').first());
  await press(page, page.getByRole('button', { name: 'Go on to the first order' }));
  const orders = [['Tall layer cake', 1], ['Cupcakes', 12], ['Cake pops', 20]];
  for (const [index, item] of orders.entries()) {
    if (index > 0) {
      await goTo(page, 'Order book');
      await press(page, page.getByRole('button', { name: 'New order' }));
    }
    const [client, time] = [`Client ${index + 1}`, `1${index}:00`];
    await enterOrder(page, { client, theme: 'weekend', date: '2026-12-12', time, items: [item] });
  }
  await goTo(page, 'Kitchen');
  const shelf = (name) => page.getByRole('group', { name, exact: true }).getByLabel('The household keeps');
  for (const name of ['top shelf', 'above the drawer']) await shelf(name).selectOption({ label: 'The whole shelf' });
  for (const name of ['second shelf', 'third shelf']) await shelf(name).selectOption({ label: 'Nothing' });
  await goTo(page, 'Week');
  await planned(page);
  await saved(page);
  await measure(page, 'full fridge, three orders');
});
