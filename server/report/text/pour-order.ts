/** The advice on the order of pouring, for a terminal. */
import type { OrderAdvice } from '../../answers/pour-order.ts';
import { table } from './table.ts';

export function orderText(order: readonly OrderAdvice[]): string {
  const several = new Set(order.map((one) => one.coat)).size > 1;
  const rows = order.map((one, index) => [
    `${index + 1}.`,
    several ? `${one.coat} ${one.toner}` : one.toner,
    one.reason,
  ]);
  return `Advice on the order of pouring (common practice; sources differ, and the written order is as good where it is proven):\n${table(rows, ['right', 'left', 'left'])}`;
}
