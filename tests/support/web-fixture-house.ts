import type { Animal } from '../../schemas/animal.ts'
import { Household } from '../../schemas/household.ts'
import type { Source } from '../../schemas/source.ts'
import { days, hours, later } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'

/** An invented household: one fridge with two boxes, a cellar, a warm enclosure. */
export function inventedHousehold(now: Instant): Household {
  const hold = later(now, -days(40))
  const plan: Animal['plan'] = [
    { phase: 'fast', from: later(now, -days(75)) },
    { phase: 'coolDown', from: later(now, -days(47)) },
    { phase: 'hold', from: hold },
  ]
  return Household.parse({
    version: 1,
    name: 'Mill Lane',
    timeZone: 'Europe/Vienna',
    places: [
      { id: 'larder-fridge', name: 'Larder fridge', kind: 'fridge' },
      { id: 'top-box', name: 'Top box', kind: 'box', parent: 'larder-fridge' },
      { id: 'low-box', name: 'Low box', kind: 'box', parent: 'larder-fridge' },
      { id: 'cellar', name: 'Cellar', kind: 'coldRoom', ownLimits: [] },
      { id: 'warm-room', name: 'Warm enclosure', kind: 'enclosure' },
    ],
    sensors: [
      sensor('fridge-air', 'Fridge air', 'larder-fridge', 'air'),
      sensor('fridge-wall', 'Fridge back wall', 'larder-fridge', 'substrate'),
      sensor('top-probe', 'Top probe', 'top-box', 'substrate'),
      sensor('cellar-probe', 'Cellar probe', 'cellar', 'air'),
      sensor('warm-probe', 'Warm probe', 'warm-room', 'air'),
    ],
    animals: [
      {
        id: 'bramble',
        name: 'Bramble',
        species: 'testudo-hermanni',
        place: 'top-box',
        mode: 'goesDown',
        plan,
      },
      { id: 'sorrel', name: 'Sorrel', species: 'testudo-hermanni', place: 'low-box', mode: 'goesDown', plan },
      {
        id: 'thistle',
        name: 'Thistle',
        species: 'testudo-hermanni',
        place: 'low-box',
        mode: 'goesDown',
        plan,
      },
      { id: 'puddle', name: 'Puddle', species: 'bufo-bufo', place: 'cellar', mode: 'goesDown', plan },
      {
        id: 'amber',
        name: 'Amber',
        species: 'python-regius',
        place: 'warm-room',
        mode: 'staysAwake',
        plan: [],
      },
    ],
  })
}

export const emptyHousehold = (): Household =>
  Household.parse({ version: 1, name: 'Mill Lane', timeZone: 'Europe/Vienna' })

/** Topics that nobody has claimed yet, one good and one that is not understood. */
export const inventedSources = (now: Instant): Source[] => [
  {
    topic: 'brumal/in/porch',
    claimedBy: [],
    heard: 214,
    refused: {},
    lastAt: later(now, -23_000),
    sample: '[{"bn":"porch/","n":"air","u":"Cel","v":3.4},{"n":"air-rh","u":"%RH","v":81}]',
    found: [
      { channel: 'air', quantity: 'temperature', value: 3.4, at: null },
      { channel: 'air-rh', quantity: 'humidity', value: 81, at: null },
    ],
    lastRefusal: null,
  },
  {
    topic: 'workshop/meter/state',
    claimedBy: [],
    heard: 1312,
    refused: { nothingRecognised: 1309, notJson: 3 },
    lastAt: later(now, -4000),
    sample: '{"total_kwh":1881.4,"uptime":88123}',
    found: [],
    lastRefusal: 'nothingRecognised',
  },
  {
    topic: 'brumal/in/top-probe',
    claimedBy: ['top-probe' as Source['claimedBy'][number]],
    heard: Math.round(days(40) / 60_000),
    refused: { noNumber: 2 },
    lastAt: later(now, -hours(0) - 12_000),
    sample: '[{"n":"","u":"Cel","v":4.9}]',
    found: [{ channel: '', quantity: 'temperature', value: 4.9, at: null }],
    lastRefusal: null,
  },
]

const sensor = (id: string, name: string, place: string, spot: string) => ({
  id,
  name,
  place,
  spot,
  type: 'sht3x',
  topic: `brumal/in/${id}`,
})
