import { workerData } from 'node:worker_threads';
import type { Gate } from './gate.js';
import { makeOne, type BatchItem } from './one.js';
import type { SummaryRow } from '../../output/report/row.js';

/** What the pool calls in a thread of its own, once for each picture. */
export function makeInThread(item: BatchItem): Promise<SummaryRow | undefined> {
  return makeOne(item, workerData as Gate);
}
