/**
 * Why there was no answer, in one plain sentence about `who` (“The relay at house.example”). Made from the error's code
 * alone: what an error says in its own words may hold an address or a key (X4).
 */
export function failureSentence(who: string, failure: unknown): string {
  const code = codeOf(failure)
  if (noName.has(code)) return `${who} cannot be found by its name: is the internet connection up?`
  if (noWay.has(code)) return `There is no way to ${lowered(who)}: is the network up?`
  if (broken.has(code)) return `${who} broke the connection before it had answered.`
  if (strangers.has(code))
    return `${who} shows a certificate from an unknown authority, so nothing was sent to it.`
  switch (code) {
    case 'ECONNREFUSED':
      return `${who} is not there: nothing listens at this address.`
    case 'ETIMEDOUT':
      return `${who} did not answer in time.`
    case 'CERT_HAS_EXPIRED':
      return `${who} shows a certificate that has expired, so nothing was sent to it.`
    case 'CERT_NOT_YET_VALID':
      return `${who} shows a certificate that is not valid yet: is this machine's clock right?`
    case 'ERR_TLS_CERT_ALTNAME_INVALID':
      return `${who} shows a certificate for another name, so nothing was sent to it.`
    case 'ERR_SSL_WRONG_VERSION_NUMBER':
    case 'ERR_SSL_PACKET_LENGTH_TOO_LONG':
      return `${who} does not speak TLS on this port.`
    case 'ETLS':
      return `${who} did not agree to an encrypted connection, so nothing was sent to it.`
    default:
  }
  if (/^(?:ERR_(?:OSSL|SSL|TLS)|EPROTO$)/.test(code))
    return `${who} refuses the encrypted connection (${code}).`
  if (code.startsWith('HPE_')) return `${who} answered with something that is not HTTP.`
  return code === ''
    ? `The connection to ${lowered(who)} failed.`
    : `The connection to ${lowered(who)} failed (${code}).`
}

/** The try ran out of its time, or was ended with the daemon. */
export const gaveUpSentence = (who: string): string => `${who} did not answer in the time that a try has.`

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

const lowered = (who: string): string => who.charAt(0).toLowerCase() + who.slice(1)
