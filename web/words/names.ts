import type { Standing } from '../../schemas/api.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Decoder, Sensor, SensorType } from '../../schemas/sensor.ts'
import type { Refusal } from '../../schemas/source.ts'
import type { Evidence } from '../../schemas/species.ts'
import { say } from '../../shared/words/say.ts'

/** What the words of the schemas are called on screen. */
export const standingName: Record<Standing, string> = {
  safe: say('inside'),
  leaving: say('past a limit'),
  out: say('outside'),
  unsure: say('no fresh value'),
  idle: say('nothing to judge'),
}

export const quantityName: Record<Quantity, string> = {
  temperature: say('Temperature'),
  humidity: say('Humidity'),
  battery: say('Battery'),
  voltage: say('Battery voltage'),
  door: say('Door'),
  power: say('Power'),
}

export const limitName: Record<LimitName, string> = {
  lowCritical: say('Too low, critical'),
  low: say('Low'),
  high: say('High'),
  highCritical: say('Too high, critical'),
}

export const kindName: Record<PlaceKind, string> = {
  fridge: say('fridge'),
  box: say('box'),
  coldRoom: say('cold room'),
  frame: say('frame'),
  enclosure: say('enclosure'),
  culture: say('live-food culture'),
  room: say('room'),
}

export const spotName: Record<Sensor['spot'], string> = {
  air: say('air'),
  substrate: say('substrate'),
  water: say('water'),
  basking: say('basking spot'),
}

export const sensorTypeName: Record<SensorType, string> = {
  ds18b20: 'DS18B20',
  dht22: 'DHT22 / AM2302',
  sht3x: 'SHT3x',
  bme280: 'BME280',
  ntc: say('NTC thermistor'),
  pt1000: 'Pt1000',
  contact: say('door or power contact'),
  other: say('other'),
}

export const decoderName: Record<Decoder['kind'], string> = {
  auto: say('recognise by itself'),
  senmlJson: say('SenML JSON'),
  senmlCbor: say('SenML CBOR'),
  json: say('JSON, by pointers'),
  number: say('a bare number'),
  bthome: say('BTHome v2'),
}

export const evidenceName: Record<Evidence, string> = {
  read: say('read in the source'),
  secondHand: say('read second-hand'),
  memory: say('from memory'),
  commonPractice: say('common practice, no formal source'),
  derived: say('derived'),
}

export const refusalName: Record<Refusal, string> = {
  badTopic: say('topic too deep, too long or with control characters'),
  empty: say('empty message'),
  tooLarge: say('message too large'),
  notUtf8: say('not UTF-8 text'),
  notJson: say('not JSON'),
  tooDeep: say('JSON nested too deep'),
  notCbor: say('not CBOR'),
  notSenml: say('not SenML'),
  unknownMandatoryLabel: say('a mandatory SenML label that is not known'),
  badName: say('a SenML name that is not allowed'),
  noValue: say('a record without exactly one value'),
  noNumber: say('no number where one was expected'),
  badUnit: say('a unit that does not fit'),
  badTime: say('a time that makes no sense'),
  tooMany: say('too many values in one message'),
  pointerMissing: say('the JSON Pointer leads nowhere'),
  notBthome: say('not BTHome v2'),
  truncated: say('cut short'),
  keyMissing: say('encrypted, and no key was given'),
  wrongKey: say('the key does not fit'),
  outOfBounds: say('a number that no sensor can mean'),
  channelMissing: say('the claimed channel is not in it'),
  nothingRecognised: say('nothing recognised'),
}
