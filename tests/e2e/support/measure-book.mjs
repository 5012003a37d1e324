// Measures the order book with two thousand orders in it, in the built app at a quarter of the processor's speed:
// `node tests/e2e/support/measure-book.mjs [TIMES]`. Prints milliseconds from the press to the next frame in which the
// rows stand: of opening the book, and of each letter of a search.

import { DEVICES, withApp } from './browser.mjs';
import { withMany } from './many.mjs';
import { goTo, openApp, saved, tryDemo } from './user.mjs';

const TIMES = Number(process.argv[2] ?? 10);
const SLOWER = 4;
const MANY = 2000;

function line(name, all) {
  const sorted = [...all].sort((a, b) => a - b);
  const at = (share) => sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)];
  const figures = `p50 ${at(0.5).toFixed(1)} ms, p95 ${at(0.95).toFixed(1)} ms, most ${at(1).toFixed(1)} ms`;
  console.log(`${name}: ${figures} (${sorted.length} times, processor ${SLOWER} times slower)`);
}

await withApp({ device: DEVICES.tablet, acceptDownloads: true }, async ({ page, server }) => {
  await openApp(page, server.url);
  await tryDemo(page);
  await withMany(page, MANY);
  await saved(page);
  const cdp = await page.context().newCDPSession(page);
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: SLOWER });
  const opened = [];
  for (let time = 0; time < TIMES; time += 1) {
    await goTo(page, 'Keep safe');
    opened.push(
      await page.evaluate(async () => {
        const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
        const link = [...document.querySelectorAll('nav a')].find((one) => one.textContent.trim() === 'Order book');
        const begun = performance.now();
        link.click();
        do await frame();
        while (document.querySelectorAll('.order-row').length === 0);
        return performance.now() - begun;
      }),
    );
  }
  line(`${MANY} orders, the book opens`, opened);
  const letters = await page.evaluate(async (times) => {
    const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
    const field = document.querySelector('#order-search');
    const all = [];
    for (let time = 0; time < times; time += 1) {
      const text = `Client ${1000 + time * 97}`;
      for (let length = 1; length <= text.length; length += 1) {
        field.value = text.slice(0, length);
        const begun = performance.now();
        field.dispatchEvent(new Event('input', { bubbles: true }));
        await frame();
        all.push(performance.now() - begun);
      }
      if (document.querySelectorAll('.order-row').length !== 1) throw new Error(`${text} is not the only one`);
    }
    return all;
  }, TIMES);
  line(`${MANY} orders, a letter of a search`, letters);
});
