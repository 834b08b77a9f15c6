/** Fields that several people may write, in words for a sentence about a choice between them. */
export const FIELD_NAMES: Record<string, string> = {
  question: 'the question',
  history: 'the history',
  urgencyAsked: 'how soon it is needed',
  urgencyReason: 'the reason for the urgency',
  plan: 'the scan plan',
  groupId: 'the reading group',
  state: 'the state at the scan',
  scannedOn: 'the day of the scan',
  operator: 'who scanned',
  machine: 'the machine',
  name: 'the name',
  species: 'the species',
  breedCode: 'the breed',
  breedText: 'the breed',
  sex: 'the sex',
  neutered: 'whether it is neutered',
  birthDate: 'the date of birth',
  birthPrecision: 'how sure the date of birth is',
  chip: 'the chip number',
};

export function nameOfField(field: string): string {
  return FIELD_NAMES[field] ?? field;
}
