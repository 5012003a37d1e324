// A browser in which everything is watched: requests to other origins, refused content, uncaught errors.

import assert from 'node:assert/strict';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { chromium } from 'playwright-core';

import { serve } from './server.mjs';

export const OPTIONS = {
  executablePath: process.env.RACKWEEK_BROWSER ?? '/usr/bin/chromium',
  args: [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    '--disable-dev-shm-usage',
  ],
};

/** The devices on which the app is looked at. */
export const DEVICES = {
  tablet: { viewport: { width: 1180, height: 820 }, hasTouch: true },
  tabletUpright: { viewport: { width: 820, height: 1180 }, hasTouch: true },
  phone: { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true },
  desk: { viewport: { width: 1440, height: 900 } },
};

/** Where and when the tests take place, so that a plan is the same on every day they run. */
const SETTING = { locale: 'en-GB', timezoneId: 'Europe/London' };

/**
 * Runs `use` with a served app and a fresh browser context, then demands a clean record.
 *
 * Options: `device` (of DEVICES), `under` (the path served from), `folder`, `allowErrors` for tests that cause
 * uncaught errors on purpose, and any option of a context.
 */
export async function withApp(options, use) {
  const { device = DEVICES.tablet, under, folder, allowErrors = false, ...context } = options;
  const server = await serve({ under, folder });
  const browser = await chromium.launch(OPTIONS);
  try {
    const watched = await watch(
      await browser.newContext({ ...SETTING, ...device, ...context }),
      server.origin,
    );
    await use({ browser, server, ...watched });
    watched.demandClean(allowErrors);
  } finally {
    await browser.close();
    await server.stop();
  }
}

/**
 * Runs `use` with a profile on disk. `open()` gives a watched context, `kill()` ends the browser without
 * any chance to finish its work, as a tablet short of memory does.
 */
export async function withProfile(options, use) {
  const { device = DEVICES.tablet, ...context } = options;
  const server = await serve();
  const profile = await mkdtemp(path.join(tmpdir(), 'rackweek-profile-'));
  let running;
  const open = async () => {
    running = await chromium.launchPersistentContext(profile, {
      ...OPTIONS,
      ...SETTING,
      ...device,
      ...context,
    });
    return watch(running, server.origin);
  };
  const kill = async () => {
    const gone = new Promise((resolve) => running.once('close', resolve));
    const cdp = await running.browser().newBrowserCDPSession();
    const { processInfo } = await cdp.send('SystemInfo.getProcessInfo');
    const main = processInfo.find((process) => process.type === 'browser');
    process.kill(main.id, 'SIGKILL');
    await gone;
    return main.id;
  };
  try {
    await use({ server, open, kill });
  } finally {
    await running?.close().catch(() => {});
    await server.stop();
    await rm(profile, { recursive: true, force: true, maxRetries: 5 });
  }
}

/** Watches a context; `record` fills while it is used. */
async function watch(context, origin) {
  const record = { requests: [], foreign: [], refused: [], errors: [] };
  context.setDefaultTimeout(15_000);
  context.on('request', (request) => {
    const url = request.url();
    record.requests.push(url);
    const own = url.startsWith(`${origin}/`) || url.startsWith('data:') || url.startsWith('blob:');
    if (!own && !url.startsWith('chrome-extension:')) record.foreign.push(url);
  });
  context.on('weberror', (error) => record.errors.push(String(error.error())));
  context.on('console', (message) => {
    const text = message.text();
    if (/Content Security Policy/.test(text)) record.refused.push(text);
    // Chromium says so itself whenever a request fails, which tests of a lost network want.
    else if (message.type() === 'error' && !/net::ERR_/.test(text)) record.errors.push(text);
  });
  await context.exposeBinding('reportRefusal', (_source, what) => record.refused.push(what));
  await context.addInitScript(() => {
    addEventListener('securitypolicyviolation', (event) => {
      window.reportRefusal(`${event.violatedDirective}: ${event.blockedURI} ${event.sourceFile ?? ''}`);
    });
  });
  const page = context.pages()[0] ?? (await context.newPage());
  const demandClean = (allowErrors) => {
    assert.deepEqual(record.foreign, [], 'nothing is asked of another origin');
    assert.deepEqual(record.refused, [], 'the policy refuses nothing of ours');
    if (!allowErrors) assert.deepEqual(record.errors, [], 'no uncaught error');
  };
  return { context, page, record, demandClean };
}
