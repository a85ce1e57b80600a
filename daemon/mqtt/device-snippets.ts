import type { Device, MadeDevice } from '../../schemas/access.ts'
import { alarmTopic, deviceTopic, statusTopic } from '../../schemas/own-topics.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Signal } from '../../schemas/signal.ts'

interface Address {
  readonly host: string
  readonly port: number
}

interface Credentials {
  readonly user: string
  readonly password: string
}

/** Small clients drop what is larger than their buffer without a word. Three names of 60 signs make the most of it. */
const MAX_SIGNAL_BYTES = 2048

type Snippet = MadeDevice['snippets'][number]

/**
 * What to put into a device's firmware, in plain MQTT terms. `at`: the embedded broker; null where the house has a broker
 * of its own: the text then says which login and permissions to make there.
 */
export function deviceSnippets(device: Device, password: string, at: Address | null): readonly Snippet[] {
  const login = { user: device.name, password }
  if (at === null) return elsewhere(device, login)
  return device.kind === 'sensor' ? forSensor(device, login, at) : forSignal(login, at)
}

/** Publishes one SenML reading from a shell. */
export const publishLine = (at: Address, login: Credentials | null, topic: string): string =>
  `mosquitto_pub ${shellLogin(at, login)} -q 1 -t ${topic} -m '[{"n":"temperature","u":"Cel","v":5.1}]'`

/** Every place; a lamp for one place reads `brumal/alarm/<its id>`. */
const everyPlace = 'brumal/alarm/#'
const onePlace = alarmTopic('low-shelf-box' as PlaceId)

const example: Signal = {
  place: 'low-shelf-box' as PlaceId,
  name: 'Low shelf box',
  state: 'out',
  priority: 'high',
  unacknowledged: true,
  sentence: 'Low shelf box is dangerously cold at 0.4 °C (limit 1.0 °C).',
  at: '2026-01-10T03:12:00.000Z',
}

function forSensor(device: Device, login: Credentials, at: Address): readonly Snippet[] {
  return [
    { title: 'Settings', text: lines(...addressLines(at), ...sensorLines(device, login)) },
    {
      title: 'C++ for a microcontroller',
      text: lines(
        ...constants(login, at),
        `const char* mqttTopic = "${deviceTopic(device.name)}";`,
        '',
        '// Once, and again whenever the connection is lost:',
        connectCall,
        '',
        '// Every 60 s, with celsius from the probe:',
        String.raw`String payload = String("[{\"n\":\"temperature\",\"u\":\"Cel\",\"v\":") + String(celsius, 2) + "}]";`,
        'mqtt.publish(mqttTopic, payload.c_str(), /* QoS */ 1, /* retain */ false);',
      ),
    },
    { title: 'Try it from a shell', text: publishLine(at, login, deviceTopic(device.name)) },
  ]
}

function forSignal(login: Credentials, at: Address): readonly Snippet[] {
  return [
    { title: 'Settings', text: lines(...addressLines(at), ...signalLines(login)) },
    {
      title: 'What it reads, for example',
      text: lines(onePlace, JSON.stringify(example), '', statusTopic, 'online'),
    },
    {
      title: 'C++ for a microcontroller',
      text: lines(
        ...constants(login, at),
        `const char* mqttTopic = "${onePlace}"; // the place that it stands for`,
        `const char* mqttStatus = "${statusTopic}";`,
        'bool isWatched = false;',
        'bool isAlarm = true; // until it is told otherwise: a mistyped place must not be a quiet one',
        '',
        '// Once, and again whenever the connection is lost:',
        connectCall,
        'mqtt.subscribe(mqttTopic, /* QoS */ 1);',
        'mqtt.subscribe(mqttStatus, /* QoS */ 1);',
        '',
        '// For each message:',
        'if (topic == mqttStatus) isWatched = payload == "online";',
        String.raw`else isAlarm = payload.indexOf("\"priority\":\"high\"") >= 0 && payload.indexOf("\"unacknowledged\":true") >= 0;`,
        '',
        '// Always. Nobody watches while the connection is lost: that is an alarm too.',
        'bool isLoud = isAlarm || !isWatched || !mqtt.connected();',
      ),
    },
    {
      title: 'Try it from a shell',
      text: `mosquitto_sub ${shellLogin(at, login)} -q 1 -v -t '${everyPlace}' -t ${statusTopic}`,
    },
  ]
}

/** A login that Brumal cannot make: the text is for Mosquitto's files, and other brokers have the like. */
function elsewhere(device: Device, login: Credentials): readonly Snippet[] {
  const isSensor = device.kind === 'sensor'
  const permissions = isSensor
    ? [`${deviceTopic(device.name)}/#`, ...device.topics].map((filter) => `topic write ${filter}`)
    : [everyPlace, statusTopic].map((filter) => `topic read ${filter}`)
  return [
    {
      title: 'This house has a broker of its own: make the login there',
      text: `mosquitto_passwd -b /etc/mosquitto/passwords ${login.user} '${login.password}'`,
    },
    {
      title: 'Its permissions, in the file that acl_file names',
      text: lines(`user ${login.user}`, ...permissions),
    },
    { title: 'Settings', text: lines(...(isSensor ? sensorLines(device, login) : signalLines(login))) },
  ]
}

const addressLines = ({ host, port }: Address): string[] => [`host: ${host}`, `port: ${port}`]

const loginLines = ({ user, password }: Credentials): string[] => [
  `user: ${user}`,
  `password: ${password}`,
  `client id: ${user}`,
]

function sensorLines(device: Device, login: Credentials): string[] {
  const extra = device.topics.map((filter) => `or under: ${filter}`)
  return [...loginLines(login), `topic: ${deviceTopic(device.name)}`, ...extra, 'QoS: 1', 'retain: off']
}

const signalLines = (login: Credentials): string[] => [
  ...loginLines(login),
  `topics: ${everyPlace} for every place, or ${onePlace} for one`,
  `status topic: ${statusTopic}`,
  'QoS: 1',
  `largest message: ${MAX_SIGNAL_BYTES} bytes`,
  'connection lost: be loud, nobody watches',
]

const constants = ({ user, password }: Credentials, { host, port }: Address): string[] => [
  '// mqtt is your MQTT client; its calls may take their arguments in another order.',
  `const char* mqttHost = "${host}";`,
  `const int mqttPort = ${port};`,
  `const char* mqttUser = "${user}";`,
  `const char* mqttPassword = "${password}";`,
  `const char* mqttClientId = "${user}";`,
]

const connectCall = 'mqtt.connect(mqttHost, mqttPort, mqttClientId, mqttUser, mqttPassword);'

const shellLogin = ({ host, port }: Address, login: Credentials | null): string =>
  `-h ${host} -p ${port}${login === null ? '' : ` -u ${login.user} -P '${login.password}'`}`

const lines = (...all: readonly string[]): string => all.join('\n')
