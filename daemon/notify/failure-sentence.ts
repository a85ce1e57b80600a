import { say, spokenLanguage } from '../../shared/words/say.ts'

/**
 * Why there was no answer, in one plain sentence about `who` (“The relay at house.example”). Made from the error's code
 * alone: what an error says in its own words may hold an address or a key (X4).
 */
export function failureSentence(who: string, failure: unknown): string {
  const code = codeOf(failure)
  if (noName.has(code))
    return say('{who} cannot be found by its name: is the internet connection up?', { who })
  if (noWay.has(code)) return say('There is no way to {who}: is the network up?', { who: lowered(who) })
  if (broken.has(code)) return say('{who} broke the connection before it had answered.', { who })
  if (strangers.has(code))
    return say('{who} shows a certificate from an unknown authority, so nothing was sent to it.', { who })
  switch (code) {
    case 'ECONNREFUSED':
      return say('{who} is not there: nothing listens at this address.', { who })
    case 'ETIMEDOUT':
      return say('{who} did not answer in time.', { who })
    case 'CERT_HAS_EXPIRED':
      return say('{who} shows a certificate that has expired, so nothing was sent to it.', { who })
    case 'CERT_NOT_YET_VALID':
      return say("{who} shows a certificate that is not valid yet: is this machine's clock right?", { who })
    case 'ERR_TLS_CERT_ALTNAME_INVALID':
      return say('{who} shows a certificate for another name, so nothing was sent to it.', { who })
    case 'ERR_SSL_WRONG_VERSION_NUMBER':
    case 'ERR_SSL_PACKET_LENGTH_TOO_LONG':
      return say('{who} does not speak TLS on this port.', { who })
    case 'ETLS':
      return say('{who} did not agree to an encrypted connection, so nothing was sent to it.', { who })
    default:
  }
  if (/^(?:ERR_(?:OSSL|SSL|TLS)|EPROTO$)/.test(code))
    return say('{who} refuses the encrypted connection ({code}).', { who, code })
  if (code.startsWith('HPE_')) return say('{who} answered with something that is not HTTP.', { who })
  return code === ''
    ? say('The connection to {who} failed.', { who: lowered(who) })
    : say('The connection to {who} failed ({code}).', { who: lowered(who), code })
}

/** The try ran out of its time, or was ended with the daemon. */
export const gaveUpSentence = (who: string): string =>
  say('{who} did not answer in the time that a try has.', { who })

/** 100 characters: a sentence about it still fits a parcel's outcome (300). Never the path or a login: they may be secrets. */
export function shownHost(url: URL): string {
  return url.host.length <= 100 ? url.host : `${url.host.slice(0, 99)}…`
}

/** The system's own code where a library has put its own over it; empty where there is none. */
function codeOf(failure: unknown): string {
  if (typeof failure !== 'object' || failure === null) return ''
  const { originalCode, code } = failure as { originalCode?: unknown; code?: unknown }
  const found = originalCode ?? code
  return typeof found === 'string' && /^[A-Z0-9_]{1,60}$/.test(found) ? found : ''
}

const noName = new Set(['ENOTFOUND', 'EAI_AGAIN', 'EAI_NODATA', 'EAI_FAIL', 'EDNS', 'EBADNAME'])
const noWay = new Set(['EHOSTUNREACH', 'ENETUNREACH', 'ENETDOWN', 'EHOSTDOWN', 'EADDRNOTAVAIL'])
const broken = new Set(['ECONNRESET', 'EPIPE', 'ECONNABORTED', 'ECONNECTION'])
const strangers = new Set([
  'DEPTH_ZERO_SELF_SIGNED_CERT',
  'SELF_SIGNED_CERT_IN_CHAIN',
  'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
  'UNABLE_TO_GET_ISSUER_CERT',
  'UNABLE_TO_GET_ISSUER_CERT_LOCALLY',
  'CERT_SIGNATURE_FAILURE',
  'CERT_UNTRUSTED',
])

/** Within an English sentence; German keeps the capital of its nouns, and begins with it. */
const lowered = (who: string): string =>
  spokenLanguage() === 'en' ? who.charAt(0).toLowerCase() + who.slice(1) : who
