/** The number that a text is in JSON's grammar (RFC 8259 §6), or null: no plus sign, no comma, no bare point, no hex. */
export function asNumber(text: string): number | null {
  return text.length <= MAX_NUMBER_LENGTH && JSON_NUMBER.test(text) ? Number(text) : null
}

/** Characters: a double needs 24; a sensor that sends more is sending something else. */
const MAX_NUMBER_LENGTH = 40

const JSON_NUMBER = /^-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?$/
