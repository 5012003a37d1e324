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
  const { violations, passes } = await page.evaluate(async (tags) => {
    const result = await window.axe.run(document, {
      runOnly: { type: 'tag', values: tags },
      rules: {
        'target-size': { enabled: true },
        // Experimental, and takes “Mon” for no part of “Monday”.
        'label-content-name-mismatch': { enabled: false },
      },
      resultTypes: ['violations', 'passes'],
    });
    // What lies half under the edge of a region that scrolls is measured as it is once scrolled to.
    const small = ({ target }) => {
      const element = document.querySelector(target[0]);
      const box = element.getBoundingClientRect();
      return !element.closest('[data-scrolls]') || box.width < 24 || box.height < 24;
    };
    for (const rule of result.violations) {
      if (rule.id === 'target-size') rule.nodes = rule.nodes.filter(small);
    }
    return { ...result, violations: result.violations.filter((rule) => rule.nodes.length > 0) };
  }, TAGS);
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
