// What a person does, by goal. Parts are found by role and name, as she finds them.

import assert from 'node:assert/strict';

/** The day on which the tests take place: a Monday, seven in the morning, as the command line's demo has it. */
export const TODAY = new Date('2026-11-30T07:00:00Z');

export const PAGES = ['Week', 'Bench sheet', 'Cold & counter', 'Order book', 'Shopping', 'Method cards', 'Kitchen', 'My time', 'Keep safe'];

/** Opens the app on the day of the tests and waits until it has read its records. */
export async function openApp(page, url) {
  await page.clock.setFixedTime(TODAY);
  await page.goto(url);
  await appReady(page);
}

/** Waits until the app has read its records. */
export async function appReady(page) {
  await page.locator('[data-save]:not([data-save="Opening"])').waitFor();
}

/** Goes to a page by the navigation, through "More" where a phone's bar does not hold it. */
export async function goTo(page, title) {
  const pages = page.getByRole('navigation', { name: 'Pages' });
  const link = pages.getByRole('link', { name: title, exact: true });
  if (!(await link.isVisible())) await press(page, pages.getByRole('button', { name: /^More pages/ }));
  await link.click();
  await page.getByRole('heading', { level: 1, name: title }).waitFor();
}

/** Waits until the rows of the order book that are drawn without being asked for stand. */
export async function rowsDrawn(page) {
  await page.locator('.order-list[aria-busy="false"]').waitFor({ state: 'attached' });
}

/** Waits until everything on screen is on disk. */
export async function saved(page) {
  await page.locator('[data-save="Saved"]').waitFor();
}

/** Starts with the demo's book and waits for its week. */
export async function tryDemo(page) {
  await press(page, page.getByRole('button', { name: 'Try the demo' }));
  await planned(page);
}

/** Waits until the week stands: drawn, planned to the end, and on disk. */
export async function planned(page) {
  // Spans of the day stand there before any plan; how good it is, only with work in the week.
  await page.locator('[data-planning]').waitFor({ state: 'attached' });
  await page.getByText(/^(Planning|Improving) …$/).waitFor({ state: 'detached', timeout: 60_000 });
  await saved(page);
}

/** Presses with what the device has: a finger, or else the mouse. */
export async function press(page, locator) {
  const touch = await page.evaluate(() => navigator.maxTouchPoints > 0);
  await (touch ? locator.tap() : locator.click());
}

/**
 * Presses what opens a dialog, until it is open. A tap soon after a drag may come to the page as a whole touch of
 * which the browser makes no click (seen in Chromium, one drag in ten); a person taps once more.
 */
export async function pressToOpen(page, locator) {
  const dialog = page.getByRole('dialog');
  for (let tries = 0; tries < 3 && !(await dialog.isVisible()); tries += 1) {
    await press(page, locator);
    await dialog.waitFor({ timeout: 5_000 }).catch(() => {});
  }
  await dialog.waitFor();
}

/** The sittings of a day shown, or of the whole week, as buttons with day, time and name. */
export function sittings(page, name = /./) {
  return page.getByRole('region', { name: /^Days of/ }).getByRole('button', { name }).and(page.locator('[data-block]'));
}

/**
 * Enters an order into the open form. `items` are `[card, count]`; the usual number is kept without one.
 * Gives the number of presses and fields that it took.
 */
export async function enterOrder(page, { client, theme, date, time, items }) {
  let actions = 0;
  const act = async (done) => {
    await done;
    actions += 1;
  };
  await act(page.getByLabel('Client', { exact: true }).fill(client));
  if (theme) await act(page.getByLabel('Theme and colours').fill(theme));
  await act(page.getByLabel('Date', { exact: true }).fill(date));
  await act(page.getByLabel('Time', { exact: true }).fill(time));
  for (const [card, count] of items) {
    await act(press(page, page.getByRole('list', { name: 'Products' }).getByRole('button', { name: card })));
    const item = page.getByRole('group', { name: card, exact: true }).last();
    if (count) await act(item.getByRole('textbox').first().fill(String(count)));
  }
  await act(press(page, page.getByRole('button', { name: 'Save order' })));
  return actions;
}

/** Waits for what the app says last. */
export async function said(page, text) {
  await page.getByRole('status').filter({ hasText: text }).waitFor();
}

/** Presses Undo at the top of the page. */
export async function undo(page) {
  await page.locator('header').getByRole('button', { name: /^Undo/ }).click();
}

/** No part of the page lies beyond its right edge. */
export async function demandNoSidewaysScroll(page) {
  const { wide, room, culprits } = await page.evaluate(() => {
    const room = document.documentElement.clientWidth;
    const beyond = [...document.querySelectorAll('body *')].filter((element) => {
      const box = element.getBoundingClientRect();
      return box.width > 0 && box.right > room + 1 && !element.closest('[data-scrolls]');
    });
    return {
      wide: document.documentElement.scrollWidth,
      room,
      culprits: beyond.slice(0, 5).map((element) => element.outerHTML.slice(0, 120)),
    };
  });
  assert.ok(wide <= room, `the page is ${wide} px wide in ${room} px; beyond: ${culprits.join('\n')}`);
}

/**
 * Everything that a finger must hit is at least 44 px high and wide. Not meant are links inside sentences, and
 * blocks drawn to the scale of time: a quarter of an hour is 24 px high, the least that WCAG 2.2 SC 2.5.8 allows.
 */
export async function demandFingerSizes(page) {
  const small = await page.evaluate(() => {
    const targets = document.querySelectorAll(
      'button, a[href], input, select, textarea, summary, [role="button"], [role="tab"]',
    );
    const found = [];
    for (const target of targets) {
      if (!target.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
      if (target.matches('a') && target.closest('p, li p')) continue;
      if (target.matches('.skip') || target.disabled) continue;
      // A checkbox is hit through its label.
      const label = target.matches('input[type="checkbox"], input[type="radio"]') && target.closest('label');
      const box = (label || target).getBoundingClientRect();
      if (box.width === 0 || box.height === 0) continue;
      const least = target.matches('[data-block], [data-to-scale]') ? 24 : 44;
      if (box.width < least - 0.5 || box.height < least - 0.5) {
        const name = target.getAttribute('aria-label') ?? target.textContent?.trim() ?? '';
        found.push(`${target.tagName.toLowerCase()} “${name.slice(0, 40)}” ${Math.round(box.width)}×${Math.round(box.height)}`);
      }
    }
    return found;
  });
  assert.equal(small.length, 0, `targets that are too small: ${small.join(', ')}`);
}
