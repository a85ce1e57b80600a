import type { Standing } from '../../schemas/api.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Decoder, Sensor, SensorType } from '../../schemas/sensor.ts'
import type { Refusal } from '../../schemas/source.ts'
import type { Evidence } from '../../schemas/species.ts'

/** What the words of the schemas are called on screen. */
export const standingName: Record<Standing, string> = {
  safe: 'inside',
  leaving: 'past a limit',
  out: 'outside',
  unsure: 'no fresh value',
  idle: 'nothing to judge',
}

export const quantityName: Record<Quantity, string> = {
  temperature: 'Temperature',
  humidity: 'Humidity',
  battery: 'Battery',
  voltage: 'Battery voltage',
  door: 'Door',
  power: 'Power',
}

export const limitName: Record<LimitName, string> = {
  lowCritical: 'Too low, critical',
  low: 'Low',
  high: 'High',
  highCritical: 'Too high, critical',
}

export const kindName: Record<PlaceKind, string> = {
  fridge: 'fridge',
  box: 'box',
  coldRoom: 'cold room',
  frame: 'frame',
  enclosure: 'enclosure',
  culture: 'live-food culture',
  room: 'room',
}

export const spotName: Record<Sensor['spot'], string> = {
  air: 'air',
  substrate: 'substrate',
  water: 'water',
  basking: 'basking spot',
}

export const sensorTypeName: Record<SensorType, string> = {
  ds18b20: 'DS18B20',
  dht22: 'DHT22 / AM2302',
  sht3x: 'SHT3x',
  bme280: 'BME280',
  ntc: 'NTC thermistor',
  pt1000: 'Pt1000',
  contact: 'door or power contact',
  other: 'other',
}

export const decoderName: Record<Decoder['kind'], string> = {
  auto: 'recognise by itself',
  senmlJson: 'SenML JSON',
  senmlCbor: 'SenML CBOR',
  json: 'JSON, by pointers',
  number: 'a bare number',
  bthome: 'BTHome v2',
}

export const evidenceName: Record<Evidence, string> = {
  read: 'read in the source',
  secondHand: 'read second-hand',
  memory: 'from memory',
  commonPractice: 'common practice, no formal source',
  derived: 'derived',
}

export const refusalName: Record<Refusal, string> = {
  badTopic: 'topic too deep, too long or with control characters',
  empty: 'empty message',
  tooLarge: 'message too large',
  notUtf8: 'not UTF-8 text',
  notJson: 'not JSON',
  tooDeep: 'JSON nested too deep',
  notCbor: 'not CBOR',
  notSenml: 'not SenML',
  unknownMandatoryLabel: 'a mandatory SenML label that is not known',
  badName: 'a SenML name that is not allowed',
  noValue: 'a record without exactly one value',
  noNumber: 'no number where one was expected',
  badUnit: 'a unit that does not fit',
  badTime: 'a time that makes no sense',
  tooMany: 'too many values in one message',
  pointerMissing: 'the JSON Pointer leads nowhere',
  notBthome: 'not BTHome v2',
  truncated: 'cut short',
  keyMissing: 'encrypted, and no key was given',
  wrongKey: 'the key does not fit',
  outOfBounds: 'a number that no sensor can mean',
  channelMissing: 'the claimed channel is not in it',
  nothingRecognised: 'nothing recognised',
}
