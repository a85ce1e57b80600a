import type { GateCheck, GateItem } from '../../schemas/season.ts'
import type { Evidence } from '../../schemas/species.ts'

/** An item of the gate; without a figure it rests on nothing published. */
export const gateItem = (
  check: GateCheck,
  standing: GateItem['standing'],
  sentence: string,
  from: { readonly source: string; readonly evidence: Evidence } | null = null,
): GateItem => ({
  check,
  standing,
  sentence,
  source: from?.source ?? null,
  evidence: from?.evidence ?? null,
})
