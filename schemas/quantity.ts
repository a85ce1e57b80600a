import { z } from 'zod'

/** What a sensor measures. Door: 1 open, 0 closed. Power: 1 present, 0 absent. Battery in %, voltage in V. */
export const Quantity = z.enum(['temperature', 'humidity', 'battery', 'voltage', 'door', 'power'])
export type Quantity = z.infer<typeof Quantity>
