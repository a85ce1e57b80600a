import type { BrokerAddress } from './address.ts'

/** Why there is no connection to an external broker. */
export type Loss =
  | { readonly kind: 'badAddress' }
  | { readonly kind: 'file'; readonly path: string; readonly key: string; readonly error: Error }
  | { readonly kind: 'error'; readonly error: Error; readonly hadAnswer: boolean }
  | { readonly kind: 'silent' }
  | { readonly kind: 'closed'; readonly hadAnswer: boolean; readonly wasBrief: boolean }
  | { readonly kind: 'refusedTopics'; readonly topics: readonly string[] }
  | { readonly kind: 'badTopics'; readonly error: Error }
  | { readonly kind: 'notStored' }
  | { readonly kind: 'tooLarge'; readonly limitMiB: number }
  | { readonly kind: 'unacknowledged' }
  | { readonly kind: 'refusedMessage'; readonly topic: string; readonly error: Error }

/** One plain sentence on what is wrong and, where we know, what to do. Never holds a password (X4). */
export function lossSentence(loss: Loss, at: BrokerAddress | null, clientId: string): string {
  const broker = `The broker at ${at?.shown ?? 'the address in the settings'}`
  switch (loss.kind) {
    case 'badAddress':
      return 'The broker address in the settings is not one: expected something like mqtt://host:1883.'
    case 'file':
      return `${fileTrouble(loss.error, loss.path)}, named in ${loss.key}.`
    case 'error':
      return errorSentence(loss.error, loss.hadAnswer, broker, at, clientId)
    case 'silent':
      return `${broker} takes the connection but does not answer as an MQTT broker.`
    case 'closed':
      if (!loss.hadAnswer) return `${broker} closed the connection without an answer.`
      return loss.wasBrief
        ? `${broker} closed the connection soon after it was made: is another program using the client id “${clientId}”?`
        : `${broker} closed the connection.`
    case 'refusedTopics':
      return `${broker} refuses the subscription to ${loss.topics.join(', ')}.`
    case 'badTopics':
      return `The topics in the settings cannot be subscribed to: ${loss.error.message}.`
    case 'notStored':
      return 'A message could not be stored; the connection was dropped so that the broker sends it again.'
    case 'tooLarge':
      return `${broker} sent a message of more than ${loss.limitMiB} MiB: leave its topic out of the subscribed topics.`
    case 'unacknowledged':
      return `${broker} does not acknowledge what it is sent.`
    case 'refusedMessage':
      return codeOf(loss.error) === 135 // MQTT 5 Table 2-6
        ? `${broker} does not let ${at?.user === undefined ? 'us' : `the user “${at.user}”`} publish to ${loss.topic}.`
        : `${broker} refuses a message to ${loss.topic} (${loss.error.message}).`
    default:
      return loss satisfies never
  }
}

function errorSentence(
  error: Error,
  hadAnswer: boolean,
  broker: string,
  at: BrokerAddress | null,
  clientId: string,
): string {
  const code = codeOf(error)
  const host = at?.host ?? 'the broker'
  switch (code) {
    case 1: // the numbers are CONNACK return codes, MQTT 3.1.1 Table 3.1
    case 132: // and, beyond 127, reason codes, MQTT 5 Table 3-1
      return `${broker} does not speak MQTT 3.1.1.`
    case 2:
    case 133:
      return `${broker} rejects the client id “${clientId}”.`
    case 3:
    case 136:
    case 137:
      return `${broker} says that its service is unavailable.`
    case 4:
    case 5:
    case 134:
    case 135:
      return at?.user === undefined
        ? `${broker} asks for a user name and password, and none is set.`
        : `${broker} refuses the user name “${at.user}” or its password.`
    case 'ENOTFOUND':
      return `There is no host named ${host}.`
    case 'EAI_AGAIN':
      return `The host name ${host} cannot be looked up: is the network up?`
    case 'ECONNREFUSED':
      return `Nothing listens at ${at?.shown ?? host}: is the broker running?`
    case 'EHOSTUNREACH':
    case 'ENETUNREACH':
    case 'ENETDOWN':
    case 'EHOSTDOWN':
      return `There is no way to ${host}: is it switched on, and is the network up?`
    case 'ETIMEDOUT':
      return `${broker} does not answer.`
    case 'ECONNRESET':
    case 'EPIPE':
      return `${broker} broke the connection.`
    case 'DEPTH_ZERO_SELF_SIGNED_CERT':
    case 'SELF_SIGNED_CERT_IN_CHAIN':
      return `${broker} shows a self-signed certificate: name its certificate authority in caFile.`
    case 'UNABLE_TO_VERIFY_LEAF_SIGNATURE':
    case 'UNABLE_TO_GET_ISSUER_CERT':
    case 'UNABLE_TO_GET_ISSUER_CERT_LOCALLY':
    case 'CERT_SIGNATURE_FAILURE':
      return `${broker} shows a certificate from an unknown authority: name the right one in caFile.`
    case 'CERT_HAS_EXPIRED':
      return `The certificate of ${at?.shown ?? host} has expired.`
    case 'CERT_NOT_YET_VALID':
      return `The certificate of ${at?.shown ?? host} is not valid yet: is this machine's clock right?`
    case 'ERR_TLS_CERT_ALTNAME_INVALID':
      return `The certificate of ${at?.shown ?? host} is for another host name.`
    case 'ERR_SSL_WRONG_VERSION_NUMBER':
    case 'ERR_SSL_PACKET_LENGTH_TOO_LONG':
      return `${broker} does not speak TLS on this port.`
    default:
  }
  if (error.message === 'Keepalive timeout') return `${broker} stopped answering.`
  if (typeof code === 'string' && /^ERR_SSL.*ALERT/.test(code)) {
    return `${broker} refuses the encrypted connection (${code}): does it ask for a client certificate?`
  }
  if (typeof code === 'string' && /^ERR_(OSSL|SSL)/.test(code)) {
    return `No encrypted connection to ${at?.shown ?? host} is possible (${code}).`
  }
  if (code !== '') return `No connection to ${at?.shown ?? host} (${code}).`
  return hadAnswer
    ? `${broker} sent something that is not MQTT.`
    : `What answers at ${at?.shown ?? host} is not an MQTT broker.`
}

/** Why the embedded broker cannot listen. */
export function listenSentence(error: Error, host: string, port: number): string {
  switch (codeOf(error)) {
    case 'EADDRINUSE':
      return `Port ${port} is already taken by another program on this machine.`
    case 'EACCES':
      return `Port ${port} is not for ordinary programs: choose one of 1024 or above.`
    case 'EADDRNOTAVAIL':
      return `This machine has no address ${host} to listen on.`
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
      return `The host name ${host} to listen on is not known.`
    default:
      return `Cannot listen on ${host}:${port} (${codeOf(error) || error.message}).`
  }
}

function fileTrouble(error: Error, path: string): string {
  switch (codeOf(error)) {
    case 'ENOENT':
      return `There is no file ${path}`
    case 'EACCES':
      return `This program may not read the file ${path}`
    case 'EISDIR':
      return `${path} is a folder, not a file`
    default:
      return `The file ${path} cannot be used (${codeOf(error) || error.message})`
  }
}

/** Node's error code or MQTT's return code; empty where there is none. */
function codeOf(error: Error): string | number {
  const code: unknown = (error as { code?: unknown }).code
  return typeof code === 'string' || typeof code === 'number' ? code : ''
}
