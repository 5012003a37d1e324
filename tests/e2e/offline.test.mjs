// Promise: after one visit the app opens without a network, under any path, and always as one whole build.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import { DEVICES, withApp } from './support/browser.mjs';
import { buildOf, filesOf, newerBuild } from './support/server.mjs';
import { appReady, goTo, tryDemo } from './support/user.mjs';

const readyOffline = (page) => page.waitForSelector('html[data-offline="ready"]', { state: 'attached' });
const updateReady = (page) => page.waitForSelector('html[data-update="ready"]', { state: 'attached' });

/** The build whose scripts the page runs. */
const buildShown = (page) =>
  page.evaluate(() => new URL(document.querySelector('script[src]').src).pathname.split('/').at(-2));

const cacheNames = (page) => page.evaluate(() => caches.keys());

test('the worker keeps exactly the files of the build', async () => {
  await withApp({}, async ({ page, server }) => {
    await page.goto(server.url);
    await readyOffline(page);
    const kept = await page.evaluate(async () => {
      const name = (await caches.keys()).find((key) => /[0-9a-f]{16}$/.test(key));
      const requests = await (await caches.open(name)).keys();
      return requests.map((request) => new URL(request.url).pathname.slice(1));
    });
    const expected = (await filesOf())
      .filter((name) => name !== 'sw.js')
      .map((name) => (name === 'index.html' ? '' : name));
    assert.deepEqual(kept.sort(), expected.sort());
  });
});

for (const under of ['/', '/some/where/']) {
  test(`after one visit the app opens without a network, under ${under}`, async () => {
    await withApp({ under }, async ({ context, page, server, record }) => {
      await page.goto(server.url);
      await appReady(page);
      await readyOffline(page);
      await context.setOffline(true);
      await server.stop();
      const before = record.requests.length;

      await page.reload();
      await appReady(page);
      const second = await context.newPage();
      await second.goto(`${server.url}?page=orders`);
      await appReady(second);
      assert.ok(record.requests.length > before, 'the pages asked for their files');

      await assert.rejects(
        page.evaluate((url) => fetch(url), `${server.url}sw.js?not-kept`),
        'the network really is away',
      );
      await context.setOffline(false);
      await server.start();
    });
  });
}

test('a file lost from the cache is fetched again and put back', async () => {
  await withApp({}, async ({ page, server }) => {
    await page.goto(server.url);
    await readyOffline(page);
    const lost = await page.evaluate(async () => {
      const name = (await caches.keys()).find((key) => /[0-9a-f]{16}$/.test(key));
      const cache = await caches.open(name);
      const request = (await cache.keys()).find((key) => key.url.endsWith('start.js'));
      return { name, url: request.url, gone: await cache.delete(request) };
    });
    assert.ok(lost.gone, 'the file was there and is gone');
    await page.reload();
    await appReady(page);
    await page.waitForFunction(
      async ({ name, url }) => Boolean(await (await caches.open(name)).match(url)),
      lost,
    );
  });
});

test('a newer build waits for consent, over reload and restart, then takes every page along', async () => {
  const newer = await newerBuild();
  const old = await buildOf();
  try {
    await withApp({}, async ({ context, page, server }) => {
      await page.goto(server.url);
      await readyOffline(page);
      assert.equal(await buildShown(page), old);

      await server.stop();
      await server.start(newer.folder);
      await page.reload();
      await updateReady(page);
      assert.equal(await buildShown(page), old, 'fetched, not taken over');

      // With every page closed a browser lets the newer worker in on its own.
      await page.close();
      const again = await context.newPage();
      await again.goto(server.url);
      await again.waitForFunction(async () => {
        const registration = await navigator.serviceWorker.ready;
        return registration.waiting === null && registration.active.state === 'activated';
      });
      await updateReady(again);
      assert.equal(await buildShown(again), old, 'still the build that was chosen');
      const other = await context.newPage();
      await other.goto(server.url);
      await appReady(other);
      assert.equal(await buildShown(other), old);

      // Consent is a button; what was typed and not saved survives it.
      await tryDemo(again);
      await goTo(again, 'Order book');
      await again.getByRole('button', { name: 'New order' }).click();
      await again.getByLabel('Theme and colours').fill('typed before the update');
      await again.getByText('A new version is ready.').waitFor();
      const reloaded = [again, other].map((each) => each.waitForEvent('load'));
      await again.getByRole('button', { name: 'Reload' }).click();
      await Promise.all(reloaded);
      for (const each of [again, other]) {
        await appReady(each);
        assert.equal(await buildShown(each), newer.id);
      }
      await readyOffline(again);
      assert.equal(await again.getByLabel('Theme and colours').inputValue(), 'typed before the update');
      const names = await cacheNames(again);
      assert.ok(!names.some((name) => name.endsWith(old)), `the older build is gone: ${names}`);
      assert.ok(names.some((name) => name.endsWith(newer.id)));
    });
  } finally {
    await newer.remove();
  }
});

test('a build that cannot be fetched whole changes nothing', async () => {
  const newer = await newerBuild();
  const old = await buildOf();
  try {
    await withApp({}, async ({ context, page, server }) => {
      await page.goto(server.url);
      await readyOffline(page);
      await server.stop();
      await server.start(newer.folder);
      let broken = 0;
      await context.route(`**/${newer.id}/start.js`, (route) => {
        broken += 1;
        return route.fulfill({ status: 500, body: 'broken' });
      });
      const refused = await page.evaluate(async () => {
        const registration = await navigator.serviceWorker.ready;
        await registration.update().catch(() => {});
        const worker = registration.installing ?? registration.waiting;
        if (!worker) return 'redundant';
        if (worker.state === 'installing') {
          await new Promise((resolve) => worker.addEventListener('statechange', resolve, { once: true }));
        }
        return worker.state;
      });
      assert.ok(broken > 0, 'the fault was met');
      assert.equal(refused, 'redundant');
      await page.reload();
      await appReady(page);
      assert.equal(await buildShown(page), old);
      assert.deepEqual((await cacheNames(page)).filter((name) => name.endsWith(newer.id)), []);
    });
  } finally {
    await newer.remove();
  }
});

test('the served page states its policy in headers too', async () => {
  await withApp({ device: DEVICES.desk }, async ({ page, server }) => {
    const answer = await page.goto(server.url);
    const policy = answer.headers()['content-security-policy'];
    assert.match(policy, /default-src 'none'/);
    assert.match(policy, /script-src 'self' 'wasm-unsafe-eval'/);
    assert.match(policy, /frame-ancestors 'none'/);
    assert.doesNotMatch(policy, /unsafe-inline|'unsafe-eval'|https?:/);
    const inline = await page.evaluate(() => {
      const found = [...document.querySelectorAll('script:not([src]), style, [style]')];
      return found.map((element) => element.outerHTML.slice(0, 80));
    });
    assert.deepEqual(inline.filter((html) => !html.includes('style=')), [], 'no inline script or style');
  });
});

test('the browser finds nothing that keeps the app from being installed', async () => {
  await withApp({}, async ({ context, page, server }) => {
    await page.goto(server.url);
    await readyOffline(page);
    const cdp = await context.newCDPSession(page);
    const { installabilityErrors } = await cdp.send('Page.getInstallabilityErrors');
    // Test contexts are incognito, which is the one thing that may be complained of.
    const real = installabilityErrors.map((e) => e.errorId).filter((id) => id !== 'in-incognito');
    assert.deepEqual(real, []);
  });
});
