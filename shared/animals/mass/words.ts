import { inReadersDigits } from '../../words/reader.ts'
import { say } from '../../words/say.ts'

/** `650 g`, `45.3 g`: tenths below 200 g, where a whole gram is too coarse. */
export const gramsWords = (grams: number): string =>
  `${inReadersDigits(grams < 200 && !Number.isInteger(grams) ? grams.toFixed(1) : String(Math.round(grams * 10) / 10))} g`

/** `1.4 %`, `5.13 %`, `−0.25 %`: two digits at most. */
export const percentWords = (percent: number): string => `${inReadersDigits(String(rounded(percent)))} %`

/** Of a value past its limit: one that rounds to the limit is just over it. */
export const pastWords = (percent: number, limit: number): string =>
  rounded(percent) === limit
    ? say('just over {percent}', { percent: percentWords(limit) })
    : percentWords(percent)

const rounded = (percent: number): number => Number(percent.toFixed(2)) + 0
