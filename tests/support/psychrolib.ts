import { createRequire } from 'node:module'

/** What of psychrolib is asked here; it ships no types. °C, relative humidity as a share of 1, Pa. */
interface Psychrolib {
  readonly SI: number
  SetUnitSystem(system: number): void
  GetSatVapPres(celsius: number): number
  GetVapPresFromRelHum(celsius: number, share: number): number
  GetTDewPointFromRelHum(celsius: number, share: number): number
  GetTDewPointFromVapPres(celsius: number, pascal: number): number
  GetVaporPressureDeficit(celsius: number, humidityRatio: number, pascal: number): number
  GetHumRatioFromRelHum(celsius: number, share: number, pascal: number): number
  GetMoistAirVolume(celsius: number, humidityRatio: number, pascal: number): number
}

/** ASHRAE Handbook of Fundamentals 2017, chapter 1 (Hyland and Wexler), written apart from ours: an oracle for moist air. */
export const psychrolib = createRequire(import.meta.url)('psychrolib') as Psychrolib
psychrolib.SetUnitSystem(psychrolib.SI)
