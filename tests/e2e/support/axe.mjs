// The accessibility rules of axe-core, with the one for small targets switched on.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';

const SOURCE = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** No rule is broken on the page as it stands. */
export async function demandAccessible(page) {
  // Evaluated rather than added as a script, which the page's policy rightly refuses.
  await page.evaluate(SOURCE);
  // On a window as high as the page, with all that scrolls inside it, nothing lies half under the head or the
  // navigation, where a scroll away would bring it.
  const window = page.viewportSize();
  const high = await page.evaluate(() => {
    const hidden = [...document.querySelectorAll('body *')]
      .filter((part) => /auto|scroll/.test(getComputedStyle(part).overflowY))
      .map((part) => part.scrollHeight - part.clientHeight);
    return document.documentElement.scrollHeight + Math.max(0, ...hidden);
  });
  await page.setViewportSize({ width: window.width, height: Math.max(window.height, high, 1600) + 200 });
  const { violations, passes } = await page.evaluate(
    (tags) =>
      window.axe.run(document, {
        runOnly: { type: 'tag', values: tags },
        rules: {
          'target-size': { enabled: true },
          // Experimental, and takes “Mon” for no part of “Monday”.
          'label-content-name-mismatch': { enabled: false },
        },
        resultTypes: ['violations', 'passes'],
      }),
    TAGS,
  );
  await page.setViewportSize(window);
  assert.ok(passes.some((rule) => rule.id === 'target-size'), 'the rule for small targets ran');
  const told = violations.map(
    (rule) =>
      `${rule.id} (${rule.help}): ${rule.nodes
        .slice(0, 3)
        .map((node) => `${node.html.slice(0, 160)} ${node.failureSummary?.split('\n')[1]?.trim() ?? ''}`)
        .join(' | ')}`,
  );
  assert.equal(told.length, 0, `rules of accessibility: ${told.join('\n')}`);
}
