import { describe, expect, test } from 'vitest'
import { meaningOf } from '../../shared/diary/keeper-columns.ts'
import { pictureKind } from '../../shared/diary/picture-kind.ts'

describe('the name of a column', () => {
  test.each([
    ['Weight (kg)', { is: 'grams', times: 1000 }],
    ['weight [g]', { is: 'grams', times: 1 }],
    ['mass, g', { is: 'grams', times: 1 }],
    ['grams', { is: 'grams', times: 1 }],
    ['Weight (lb)', { is: 'grams', times: 453.59237 }],
    ['weight oz', { is: 'grams', times: 28.349523125 }],
    ['Carapace length (mm)', { is: 'length', times: 0.1 }],
    ['SVL (cm)', { is: 'length', times: 1 }],
    ['Date/Time', { is: 'date' }],
    ['Notes', { is: 'text' }],
    ['Name', { is: 'animal' }],
    ['Weight', { sentence: '“Weight” does not say its unit; write for example “weight (g)”.' }],
    ['length', { sentence: '“length” does not say its unit; write for example “length (cm)”.' }],
    ['weight (cm)', null],
    ['length (kg)', null],
    ['feeding', null],
    ['temperature', null],
  ])('%s', (header, meaning) => {
    expect(meaningOf(header)).toEqual(meaning)
  })
})

describe('the first bytes of a picture', () => {
  const riff = [0x52, 0x49, 0x46, 0x46, 9, 9, 9, 9]
  test.each([
    [[0xff, 0xd8, 0xff, 0xe0], 'image/jpeg'],
    [[0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a], 'image/png'],
    [[...riff, 0x57, 0x45, 0x42, 0x50], 'image/webp'],
    [[...riff, 0x57, 0x41, 0x56, 0x45], null], // a RIFF of sound
    [[0x89, 0x50, 0x4e, 0x47, 0x0a], null],
    [[0x3c, 0x73, 0x76, 0x67], null], // <svg
    [[], null],
  ])('%j are %s', (bytes, kind) => {
    expect(pictureKind(new Uint8Array(bytes))).toBe(kind)
  })
})
