/** The order with one of its members a step earlier or later; as it was where there is no such step. */
export function moved<Id>(order: readonly Id[], one: Id, by: -1 | 1): readonly Id[] {
  const from = order.indexOf(one)
  const other = order[from + by]
  if (from < 0 || other === undefined) return order
  return order.with(from, other).with(from + by, one)
}
