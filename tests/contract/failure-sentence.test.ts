import fc from 'fast-check'
import { expect, test } from 'vitest'
import { failureSentence } from '../../daemon/notify/failure-sentence.ts'

const who = 'The relay at relay.frog-house.example'

test.each([
  [
    'ENOTFOUND',
    'The relay at relay.frog-house.example cannot be found by its name: is the internet connection up?',
  ],
  [
    'EAI_AGAIN',
    'The relay at relay.frog-house.example cannot be found by its name: is the internet connection up?',
  ],
  ['ECONNREFUSED', 'The relay at relay.frog-house.example is not there: nothing listens at this address.'],
  ['ENETUNREACH', 'There is no way to the relay at relay.frog-house.example: is the network up?'],
  ['ETIMEDOUT', 'The relay at relay.frog-house.example did not answer in time.'],
  ['ECONNRESET', 'The relay at relay.frog-house.example broke the connection before it had answered.'],
  [
    'CERT_HAS_EXPIRED',
    'The relay at relay.frog-house.example shows a certificate that has expired, so nothing was sent to it.',
  ],
  [
    'ERR_TLS_CERT_ALTNAME_INVALID',
    'The relay at relay.frog-house.example shows a certificate for another name, so nothing was sent to it.',
  ],
  [
    'DEPTH_ZERO_SELF_SIGNED_CERT',
    'The relay at relay.frog-house.example shows a certificate from an unknown authority, so nothing was sent to it.',
  ],
  ['ERR_SSL_WRONG_VERSION_NUMBER', 'The relay at relay.frog-house.example does not speak TLS on this port.'],
  ['EPROTO', 'The relay at relay.frog-house.example refuses the encrypted connection (EPROTO).'],
  ['HPE_INVALID_CONSTANT', 'The relay at relay.frog-house.example answered with something that is not HTTP.'],
  ['EWHATEVER', 'The connection to the relay at relay.frog-house.example failed (EWHATEVER).'],
])('%s is told in a sentence', (code, sentence) => {
  expect(failureSentence(who, Object.assign(new Error('secret'), { code }))).toBe(sentence)
})

test('the system’s own code counts where a library has put its own over it', () => {
  const failure = { code: 'ESOCKET', originalCode: 'ECONNREFUSED' }
  expect(failureSentence(who, failure)).toContain('nothing listens')
})

test('X4: whatever an error says in its own words, the sentence does not repeat it', () => {
  const anyFailure = fc.oneof(
    fc.constant(new Error('secret-77')),
    fc.constant('secret-77'),
    fc.constant({ code: 'secret-77' }),
    fc.constant(null),
    fc.record({ code: fc.string(), message: fc.constant('secret-77'), cause: fc.anything() }),
  )
  fc.assert(
    fc.property(anyFailure, (failure) => {
      const sentence = failureSentence(who, failure)
      expect(sentence).not.toContain('secret-77')
      expect(sentence).toMatch(/^[A-Z].*[.?]$/)
    }),
  )
})
