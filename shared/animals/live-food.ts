import { hours } from '../../schemas/amounts.ts'
import type { Priority } from '../../schemas/band.ts'
import type { LiveFood } from '../../schemas/culture.ts'
import type { Evidence } from '../../schemas/species.ts'
import type { Millis } from '../../schemas/units.ts'
import { say } from '../words/say.ts'

/** How long it takes to grow up at one temperature, as published. */
interface GrowthPoint {
  readonly celsius: number
  readonly days: number
}

/** What a stretch of warmth means for a culture, °C: from `from`, included, up to `to`. */
export interface WarmthStretch {
  readonly from: number
  readonly to: number
  readonly standing: 'good' | 'slow' | 'stopped' | 'harmful' | 'unknown'
  readonly sentence: string
  readonly source: string
  readonly evidence: Evidence
}

interface FoodLimit {
  readonly limit: 'lowCritical' | 'low' | 'high'
  readonly celsius: number
  readonly for: Millis
  readonly priority: Priority
}

export interface FoodFigures {
  /** `house crickets`, inside a sentence. */
  readonly name: string
  /** Growing up, coldest first; between two points the pace is reckoned in a straight line, beyond them not at all. */
  readonly growth: readonly GrowthPoint[]
  readonly growthSource: string
  /** Coldest first, without a gap; each from its `from` up to the next. */
  readonly warmth: readonly WarmthStretch[]
  /** What is told of a culture that is too cold or too warm. */
  readonly limits: readonly FoodLimit[]
}

const odhiambo = say(
  'Odhiambo et al., house crickets at six temperatures, East African Journal of Agriculture and Biotechnology',
)
const rearing = say(
  'Rearing of house crickets at 30.5 °C (abstract); a natural-history note of 2013 on their inactivity',
)
const locusts = say(
  'Directorate of Plant Protection, Quarantine & Storage, Government of India, locust biology',
)
const heidari = say('Heidari Parsa et al. 2023, development of Tenebrio molitor')
const ribeiro = say('Ribeiro et al. 2018, J Entomol Sci 53:434')
const feed = say('mealworm entry of an encyclopaedia of animal feed')
const woodlice = say(
  'Global Invasive Species Database, Porcellio scaber; Smigel & Gibbs 2008, J Insect Sci 8:44',
)
const mockett = say('Mockett & Matsumoto 2014, PLOS ONE 9:e92228')
const genetics = say('general genetics texts, as seen on study pages')
const keepers = say('common practice among keepers, no formal source')

/**
 * Live food by temperature. A colony that is too cold is lost slowly, by the generation that is missing: its limits are
 * low priority, and urgent means the same day, not the same minute. The limits are derived from the figures beside them.
 */
export const foodFigures: Record<LiveFood, FoodFigures> = {
  houseCricket: {
    name: say('house crickets'),
    growth: [
      { celsius: 18, days: 200.5 },
      { celsius: 30, days: 66.26 },
    ],
    growthSource: odhiambo,
    warmth: [
      stretch(
        -273,
        10,
        'harmful',
        say('A few days at 10 °C cripple and kill them.'),
        keepers,
        'commonPractice',
      ),
      stretch(10, 18, 'stopped', say('They do not grow and hardly move.'), rearing, 'secondHand'),
      stretch(
        18,
        26,
        'slow',
        say('They grow slowly and lay few eggs: 101 at 18 °C, 1360 at 26 °C.'),
        odhiambo,
        'read',
      ),
      stretch(26, 34, 'good', say('They grow and lay best between 26 and 34 °C.'), odhiambo, 'read'),
      stretch(34, Infinity, 'unknown', say('Above 34 °C nothing is published of them.'), odhiambo, 'derived'),
    ],
    limits: [
      { limit: 'low', celsius: 20, for: hours(1), priority: 'low' },
      { limit: 'lowCritical', celsius: 15, for: hours(6), priority: 'medium' },
    ],
  },
  desertLocust: {
    name: say('desert locusts'),
    growth: [
      { celsius: 22, days: 70 },
      { celsius: 37, days: 22 },
    ],
    growthSource: locusts,
    warmth: [
      stretch(
        -273,
        15,
        'stopped',
        say('No egg develops below 15 °C: in a cold room the hatch fails.'),
        locusts,
        'read',
      ),
      stretch(
        15,
        32,
        'slow',
        say('They grow slowly: hoppers need 70 days at 22 °C and 22 days at 37 °C.'),
        locusts,
        'read',
      ),
      stretch(32, 37, 'good', say('Eggs hatch in 10 to 12 days between 32 and 35 °C.'), locusts, 'read'),
      stretch(37, Infinity, 'unknown', say('Above 37 °C nothing is published of them.'), locusts, 'derived'),
    ],
    limits: [{ limit: 'low', celsius: 22, for: hours(1), priority: 'low' }],
  },
  mealworm: {
    name: say('mealworms'),
    growth: [
      { celsius: 20, days: 203.7 },
      { celsius: 27, days: 111.31 },
    ],
    growthSource: heidari,
    warmth: [
      stretch(
        -273,
        4,
        'unknown',
        say('Colder than 4 °C nothing is known of them.'),
        keepers,
        'commonPractice',
      ),
      stretch(
        4,
        10,
        'stopped',
        say('They lie dormant, and keep for weeks with a warm day to feed.'),
        feed,
        'read',
      ),
      stretch(10, 25, 'slow', say('They grow slowly, and breed hardly at all below 20 °C.'), heidari, 'read'),
      stretch(
        25,
        28,
        'good',
        say('They grow best between 25 and 28 °C, at 60 to 75 % humidity.'),
        ribeiro,
        'read',
      ),
      stretch(28, 30, 'unknown', say('Above 28 °C nothing is published of them.'), ribeiro, 'derived'),
      stretch(30, Infinity, 'harmful', say('Above 30 °C they suffer.'), ribeiro, 'derived'),
    ],
    limits: [{ limit: 'high', celsius: 30, for: hours(1), priority: 'low' }],
  },
  woodlouse: {
    name: say('woodlice'),
    growth: [],
    growthSource: keepers,
    warmth: [
      stretch(-273, -4.6, 'harmful', say('About −4.6 °C kills them.'), woodlice, 'read'),
      stretch(
        -4.6,
        0,
        'stopped',
        say('They live through frost for a week if hardened and fed; dry air kills first.'),
        woodlice,
        'read',
      ),
      stretch(
        0,
        18,
        'slow',
        say('They grow slowly, and very slowly below 12 °C.'),
        keepers,
        'commonPractice',
      ),
      stretch(
        18,
        25,
        'good',
        say('They do best between 18 and 25 °C, kept moist.'),
        keepers,
        'commonPractice',
      ),
      stretch(
        25,
        Infinity,
        'unknown',
        say('Above 25 °C nothing is known of them; dry air kills first.'),
        keepers,
        'commonPractice',
      ),
    ],
    limits: [],
  },
  fruitFly: {
    name: say('fruit flies'),
    growth: [
      // The middle of "about 19 to 21 days" and of "8.5 to 11 days".
      { celsius: 18, days: 20 },
      { celsius: 25, days: 9.75 },
    ],
    growthSource: genetics,
    warmth: [
      stretch(-273, 4, 'unknown', say('Colder than 4 °C nothing is published of them.'), mockett, 'derived'),
      stretch(
        4,
        11,
        'stopped',
        say('Adults live through it, 5 days at 4 °C, 20 days at 8 °C, but do not breed until they are warm.'),
        mockett,
        'read',
      ),
      stretch(
        11,
        25,
        'slow',
        say('They breed slowly: a generation takes about 20 days at 18 °C, and 8.5 to 11 days at 25 °C.'),
        genetics,
        'read',
      ),
      stretch(25, 29, 'good', say('A generation takes 8.5 to 11 days at 25 °C.'), genetics, 'read'),
      stretch(29, Infinity, 'harmful', say('From 29 to 30 °C on they turn sterile.'), genetics, 'read'),
    ],
    limits: [{ limit: 'low', celsius: 15, for: hours(1), priority: 'low' }],
  },
}

/** The limits stand in no publication as such. */
export const limitSource = say('derived from published growth and activity by temperature')

/** How many times slower it grows than at the warmest published point; null where nothing is published. */
export function timesSlower(food: LiveFood, celsius: number): number | null {
  const { growth, warmth } = foodFigures[food]
  const first = growth[0]
  const last = growth.at(-1)
  if (first === undefined || last === undefined || celsius < first.celsius) return null
  if (celsius >= last.celsius) {
    const best = warmth.find(({ standing }) => standing === 'good')
    return best !== undefined && celsius <= Math.max(best.to, last.celsius) ? 1 : null
  }
  // A straight line through the pace, not through the days: growth sums warmth (degree-days).
  const share = (celsius - first.celsius) / (last.celsius - first.celsius)
  const pace = (1 - share) / first.days + share / last.days
  return 1 / last.days / pace
}

export function warmthOf(food: LiveFood, celsius: number): WarmthStretch {
  const { warmth } = foodFigures[food]
  // The upper end of what is good still is good; every other edge belongs to the warmer side.
  const found = warmth.find(
    ({ from, to, standing }) => celsius >= from && (standing === 'good' ? celsius <= to : celsius < to),
  )
  const coldest = warmth[0]
  if (coldest === undefined) throw new Error(`${food} has no figures`)
  return found ?? coldest
}

function stretch(
  from: number,
  to: number,
  standing: WarmthStretch['standing'],
  sentence: string,
  source: string,
  evidence: Evidence,
): WarmthStretch {
  return { from, to, standing, sentence, source, evidence }
}
