// A finger and a mouse, moved point by point as hands move them.

/** The middle of an element on screen. */
export async function middleOf(locator) {
  await locator.scrollIntoViewIfNeeded();
  const box = await locator.boundingBox();
  if (!box) throw new Error('the element is not on screen');
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

function* path(from, to, steps) {
  for (let step = 1; step <= steps; step += 1) {
    const part = step / steps;
    yield { x: from.x + (to.x - from.x) * part, y: from.y + (to.y - from.y) * part };
  }
}

/** A finger on a page's screen: raw touches, as the device sends them. */
export async function fingerOn(page) {
  const cdp = await page.context().newCDPSession(page);
  const send = (type, points) => cdp.send('Input.dispatchTouchEvent', { type, touchPoints: points });
  return {
    down: (point) => send('touchStart', [point]),
    async move(from, to, steps = 12) {
      for (const point of path(from, to, steps)) await send('touchMove', [point]);
    },
    up: () => send('touchEnd', []),
    /** Another finger comes down beside the one that is there. */
    downToo: (there, beside) => send('touchStart', [{ ...there, id: 0 }, { ...beside, id: 1 }]),
    cancel: () => send('touchCancel', []),
    /** Puts the finger down, drags it, and lifts it. */
    async drag(from, to, steps) {
      await this.down(from);
      await this.move(from, to, steps);
      await this.up();
    },
  };
}

/** A mouse, with the same gestures. */
export function mouseOn(page) {
  return {
    async down(point) {
      await page.mouse.move(point.x, point.y);
      await page.mouse.down();
    },
    async move(from, to, steps = 12) {
      for (const point of path(from, to, steps)) await page.mouse.move(point.x, point.y);
    },
    up: () => page.mouse.up(),
    async drag(from, to, steps) {
      await this.down(from);
      await this.move(from, to, steps);
      await this.up();
    },
  };
}
