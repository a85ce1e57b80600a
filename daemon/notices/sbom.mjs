import { createHash } from 'node:crypto'
import { labelOf } from './third-parties.mjs'

/**
 * What Brumal is made of as CycloneDX 1.6 (ECMA-424). The same packages give the same document to the byte: it has no
 * time of making, and its serial number is drawn from what it says.
 *
 * @param {{ name: string, version: string, license: string, description: string }} own
 * @param {readonly import('./third-parties.mjs').ThirdParty[]} parties
 * @param {readonly string[]} direct names of what we ask for ourselves
 */
export function sbomOf(own, parties, direct) {
  const refs = new Map(parties.map((party) => [labelOf(party), purlOf(party)]))
  const body = {
    version: 1,
    metadata: {
      component: {
        type: 'application',
        'bom-ref': purlOf(own),
        name: own.name,
        version: own.version,
        description: own.description,
        licenses: [{ license: { id: own.license } }],
        purl: purlOf(own),
      },
    },
    components: parties.map(componentOf),
    dependencies: [
      { ref: purlOf(own), dependsOn: parties.filter(({ name }) => direct.includes(name)).map(purlOf) },
      ...parties.map((party) => ({
        ref: purlOf(party),
        dependsOn: party.needs.flatMap((label) => refs.get(label) ?? []),
      })),
    ],
  }
  return { bomFormat: 'CycloneDX', specVersion: '1.6', serialNumber: serialOf(body), ...body }
}

function componentOf(party) {
  const { group, name } = partsOf(party.name)
  return {
    type: 'library',
    'bom-ref': purlOf(party),
    ...(group !== null && { group }),
    name,
    version: party.version,
    ...(party.hash !== null && { hashes: [{ alg: 'SHA-512', content: party.hash }] }),
    licenses: [
      / (?:OR|AND) /.test(party.licence) ? { expression: party.licence } : { license: { id: party.licence } },
    ],
    purl: purlOf(party),
    ...(party.homepage !== null && { externalReferences: [{ type: 'website', url: party.homepage }] }),
  }
}

/** Package URL; SQLite comes from no registry. */
function purlOf({ name, version }) {
  const { group, name: bare } = partsOf(name)
  const type = name === 'sqlite' ? 'generic' : 'npm'
  return `pkg:${type}/${group === null ? '' : `${encodeURIComponent(group)}/`}${bare}@${version}`
}

function partsOf(full) {
  const [first, second] = full.split('/')
  return second === undefined ? { group: null, name: first } : { group: first, name: second }
}

/** A UUID of version 8 (RFC 9562: its bits are our own) from the hash of the text. */
function serialOf(body) {
  const hex = createHash('sha256').update(JSON.stringify(body)).digest('hex')
  return `urn:uuid:${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-a${hex.slice(17, 20)}-${hex.slice(20, 32)}`
}
