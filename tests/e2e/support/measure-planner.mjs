// Measures the planner of the finished app in a real browser: `node tests/e2e/support/measure-planner.mjs [PROBLEM.json ...]`.
//
// Talks to the app's own worker in the words of src/app/planner: plans a problem for as long as the app does,
// moves sittings one after the other and waits for a sound plan each time, asks where else each could go, and how
// likely the plan ends in time. Schedules a second are of the processor's time (Linux: all threads of the
// renderer), waiting times by the clock: least and middle of all. Chromium slows down no workers, so what a
// machine of a quarter of the speed would need is four times that. Compare with eval/s of
// `cargo bench --bench compare -- PROBLEM.json`.

import { readFileSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { chromium } from 'playwright-core';

import { OPTIONS } from './browser.mjs';
import { ROOT, buildOf, serve } from './server.mjs';

const named = process.argv.slice(2);
const files = named.length
  ? named
  : ['three_o5_s74', 'rich_o8_s21', 'rich_o9_s22'].map((name) =>
      path.join(ROOT, `tests/data/problems/${name}.json`),
    );
const MOVES = 24;

/** Milliseconds that the processes below `root` which draw pages have spent on the processor. */
function spent(root) {
  const parents = new Map();
  for (const name of readdirSync('/proc').filter((name) => /^\d+$/.test(name))) {
    try {
      const stat = readFileSync(`/proc/${name}/stat`, 'utf8');
      parents.set(Number(name), Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1]));
    } catch {
      // It ended meanwhile.
    }
  }
  const below = (process) => {
    for (let at = process; at; at = parents.get(at)) if (at === root) return true;
    return false;
  };
  let nanoseconds = 0;
  for (const process of [...parents.keys()].filter(below)) {
    try {
      if (!readFileSync(`/proc/${process}/cmdline`, 'utf8').includes('--type=renderer')) continue;
      for (const thread of readdirSync(`/proc/${process}/task`)) {
        const text = readFileSync(`/proc/${process}/task/${thread}/schedstat`, 'utf8');
        nanoseconds += Number(text.split(' ')[0]);
      }
    } catch {
      // As above.
    }
  }
  return nanoseconds / 1e6;
}

/** In the page: a worker, and a way to ask it and to wait for the first answer that is wanted. */
async function start(script) {
  const worker = new Worker(script, { type: 'module' });
  await new Promise((resolve) => (worker.onmessage = resolve));
  window.ask = (question, wanted) =>
    new Promise((resolve) => {
      const text = JSON.stringify(question);
      const begun = performance.now();
      worker.onmessage = ({ data }) => {
        const heard = JSON.parse(data);
        if (wanted(heard)) resolve({ heard, waited: performance.now() - begun });
      };
      worker.postMessage(text);
    });
  window.tell = (what) => worker.postMessage(JSON.stringify(what));
  window.plan = (token, problem, wanted) =>
    window.ask({ Plan: { token, seed: 1, problem } }, ({ Plan }) => Plan?.token === token && wanted(Plan));
}

/** In the page: all that is measured but the whole effort. */
async function waits({ problem, plan, moves, token }) {
  const about = (number, question) => ({ About: { number, problem, plan, question } });
  const movable = problem.activities.filter(
    ({ id, workers, segments, pin }) => workers?.length && segments.length === 1 && !pin && plan.starts[id],
  );
  const elsewhere = [];
  const dragged = [];
  let unsound = 0;
  for (const [at, { id }] of movable.slice(0, moves).entries()) {
    const number = at + 1;
    const asked = await window.ask(
      about(number, { Elsewhere: { activity: id, segment: 0 } }),
      ({ About }) => About?.number === number && About.answer.Elsewhere,
    );
    elsewhere.push(asked.waited);
    window.tell({ Leave: ['Elsewhere', number] });
    const now = plan.starts[id][0];
    const starts = asked.heard.About.answer.Elsewhere.news.map(({ start }) => start);
    // About four hours away, as a finger would.
    starts.sort((a, b) => Math.abs(Math.abs(a - now) - 16) - Math.abs(Math.abs(b - now) - 16));
    if (!starts.length) continue;
    const moved = structuredClone(problem);
    for (const activity of moved.activities) {
      activity.ref = plan.starts[activity.id];
      activity.stab_weight = activity.stab_weight || 1;
      if (activity.id === id) activity.pin = [starts[0]];
    }
    token += 1;
    const answer = await window.plan(token, moved, ({ plan }) => plan);
    if (answer.heard.Plan.progress.objective === null) unsound += 1;
    else dragged.push(answer.waited);
  }
  // What is still being planned is made void by a plan that is done at once.
  token += 1;
  await window.plan(token, { ...problem, activities: [], links: [] }, ({ done }) => done);
  const times = { usual: { median: 10_000, sigma: 3_164 }, of: {}, grace: 0 };
  const risk = [];
  for (const number of [1, 2, 3, 4, 5]) {
    const asked = await window.ask(about(number, { Risk: times }), ({ About }) => About?.answer.Risk);
    risk.push(asked.waited);
  }
  return { elsewhere, dragged, unsound, risk };
}

function middle(times) {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share) => sorted[Math.floor((sorted.length - 1) * share)]?.toFixed(1) ?? '-';
  return `least ${at(0)}, middle ${at(0.5)}, 9 of 10 within ${at(0.9)} ms`;
}

const server = await serve();
const browser = await chromium.launchServer(OPTIONS);
const connected = await chromium.connect(browser.wsEndpoint());
try {
  const script = `./${await buildOf(path.join(ROOT, 'dist'))}/start.js`;
  for (const file of files) {
    const problem = JSON.parse(readFileSync(file, 'utf8'));
    const page = await connected.newPage();
    await page.goto(server.url);
    await page.evaluate(start, script);
    // Once to let the browser compile, once to measure.
    await page.evaluate((problem) => window.plan(1, problem, ({ done }) => done), problem);
    const before = spent(browser.process().pid);
    const whole = await page.evaluate((problem) => window.plan(2, problem, ({ done }) => done), problem);
    const seconds = (spent(browser.process().pid) - before) / 1e3;
    const { progress, plan } = whole.heard.Plan;
    const measured = await page.evaluate(waits, { problem, plan, moves: MOVES, token: 10 });
    console.log(`${problem.name}: ${problem.activities.length} activities`);
    console.log(
      `  ${(progress.evaluations / seconds).toFixed(0)} schedules a second, objective ${progress.objective}, bound ${progress.bound}`,
    );
    console.log(`  a sitting moved, sound plan: ${middle(measured.dragged)}; none at first: ${measured.unsound}`);
    console.log(`  where else, first answer: ${middle(measured.elsewhere)}`);
    console.log(`  risk, 2,000 runs: ${middle(measured.risk)}`);
    await page.close();
  }
} finally {
  await connected.close();
  await browser.close();
  await server.stop();
}
