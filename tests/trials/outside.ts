import { readFileSync } from 'node:fs'
import { type NoiseModel, nextNoise } from '../../daemon/practice/drifting-noise.ts'
import type { Random } from '../../daemon/practice/random.ts'
import type { Span } from './span.ts'
import { covering } from './span.ts'

/*
 * Hourly temperature normals 1981–2010 for Seattle, NOAA National Climatic Data Center, a work of the US Government, as
 * packaged in npm vega-datasets 3.2.1. The first hour of the year is missing; its neighbour stands in.
 */
const normals: readonly number[] = (() => {
  const text = readFileSync(
    new URL('../../fixtures/days/seattle-weather-hourly-normals.csv', import.meta.url),
    'utf8',
  )
  const all = text
    .trim()
    .split('\n')
    .slice(1)
    .map((row) => Number(row.split(',')[2]))
  return [all[0] ?? 0, ...all]
})()

const hour = 3_600_000
const halfYear = 4380
/** The years of the trials have 365 days. */
const yearBegins = Date.UTC(2026, 0, 1)

/** Degrees out of doors in a usual year; south of the equator half a year later. */
export function usualWeather(at: number, hemisphere: 'north' | 'south'): number {
  const intoYear = (at - yearBegins) / hour
  const h = (intoYear + (hemisphere === 'south' ? halfYear : 0)) % normals.length
  const i = Math.floor(h)
  const here = normals[i] ?? 0
  return here + (h - i) * ((normals[(i + 1) % normals.length] ?? here) - here)
}

/** What stands round the place: a heated room, a garage, or the weather itself. */
export interface Surroundings {
  readonly hemisphere: 'north' | 'south'
  /** °C with the usual winter weather of `usualMean`. */
  readonly mean: number
  /** How much of the weather's departure comes through. */
  readonly share: number
  /** K up and down in a day, besides. */
  readonly swing: number
  readonly noise: NoiseModel
  readonly warmest: number
}

/** Mean of the normals from November to February, °C, calculated from the file. */
export const usualMean = (() => {
  const winter = normals.filter((_, i) => i < 59 * 24 || i >= 304 * 24)
  return winter.reduce((sum, value) => sum + value, 0) / winter.length
})()

export interface Spell extends Span {
  /** Warmer by so many kelvin in its middle. */
  readonly by: number
}

/** Degrees round the place, step by step. */
export function surroundingsOver(
  model: Surroundings,
  spells: readonly Spell[],
  random: Random,
): (at: number, stepMs: number) => number {
  let noise = model.noise.sd * random.normal()
  const spellAt = covering(spells)
  return (at, stepMs) => {
    noise = nextNoise(noise, model.noise, stepMs, random)
    const spell = spellAt(at)
    const shape = spell === null ? 0 : Math.sin((Math.PI * (at - spell.from)) / (spell.to - spell.from))
    const daily = model.swing * Math.cos((2 * Math.PI * (at / hour - 15)) / 24)
    const weather = model.share * (usualWeather(at, model.hemisphere) - usualMean)
    return Math.min(model.warmest, model.mean + weather + daily + noise + (spell?.by ?? 0) * shape)
  }
}
