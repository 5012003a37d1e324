// A book with years of orders in it.

import { readFile } from 'node:fs/promises';

import { goTo, press, said } from './user.mjs';

/** The demo's backup with so many more orders, all handed over, two a week back from the tests' day. */
export async function withMany(page, many) {
  await goTo(page, 'Keep safe');
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    press(page, page.getByRole('main').getByRole('button', { name: 'Export a backup' })),
  ]);
  const backup = JSON.parse(await readFile(await download.path(), 'utf8'));
  const pattern = backup.records.find((record) => record.kind === 'order');
  const pricing = backup.records.find((record) => record.kind === 'pricing');
  for (let id = 1000; id < 1000 + many; id += 1) {
    const order = structuredClone(pattern);
    order.id = String(id);
    order.body.id = id;
    order.body.client = `Client ${id}`;
    order.body.stage = 'handed-over';
    const day = new Date(Date.UTC(2026, 10, 29) - (id - 1000) * 3.5 * 86_400_000);
    order.body.handover.at = `${day.toISOString().slice(0, 10)}T10:00`;
    backup.records.push(order);
    if (pricing) pricing.body.agreed[id] = 5000 + (id % 7) * 1000;
  }
  await page.getByLabel('Backup file').setInputFiles({
    name: 'many.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(backup)),
  });
  await press(page, page.getByRole('dialog').getByRole('button', { name: 'Restore it' }));
  await said(page, 'Backup restored');
  return Boolean(pricing);
}
