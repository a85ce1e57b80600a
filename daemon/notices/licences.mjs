/**
 * A sentence for each work that may not be passed on.
 *
 * @param {readonly { name: string, version: string, licence: string }[]} parties
 * @returns {string[]}
 */
export const objectionsTo = (parties) =>
  parties
    .filter(({ licence }) => !isAllowed(licence))
    .map(({ name, version, licence }) =>
      licence === ''
        ? `${name} ${version} has no licence.`
        : `${name} ${version} is under ${licence}, which is not among the licences that may be passed on.`,
    )

/**
 * Licences under which others' work may be passed on with ours, by their SPDX names: each asks for no more than what the
 * notices give. MPL-2.0 asks for the source of its own files, which are passed on as they came. `blessing` is SQLite's.
 */
const allowed = [
  '0BSD',
  'Apache-2.0',
  'BlueOak-1.0.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'CC0-1.0',
  'ISC',
  'MIT',
  'MIT-0',
  'MPL-2.0',
  'Python-2.0',
  'Unlicense',
  'blessing',
]

/**
 * Whether one of the licences that an SPDX expression offers is allowed. What is not understood is not.
 *
 * @param {string} expression such as `MIT` or `(BSD-2-Clause OR MIT)`
 */
function isAllowed(expression) {
  const bare = expression.trim().replace(/^\((.*)\)$/, '$1')
  const offers = bare.split(' OR ').map((offer) => offer.split(' AND ').map((one) => one.trim()))
  return offers.some((offer) => offer.every((one) => allowed.includes(one)))
}
