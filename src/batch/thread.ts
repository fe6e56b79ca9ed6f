import { workerData } from 'node:worker_threads';
import type { Gate } from './gate.js';
import { makeOne, type Order } from './one.js';
import type { Row } from '../sheets/row.js';

/** What the pool calls in a thread of its own, once for each picture. */
export function makeInThread(order: Order): Promise<Row | undefined> {
  return makeOne(order, workerData as Gate);
}
