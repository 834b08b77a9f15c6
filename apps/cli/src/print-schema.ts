import { jsonSchemaOf, publishedSchemas } from '@chordae/contract';

/** `chordae schema referral`: the published JSON schema (draft 2020-12), made from the schemas that the program itself checks with. */
export function printSchema(args: string[]): number {
  const name = args.find((a) => !a.startsWith('--'));
  if (name === undefined || !(name in publishedSchemas)) {
    const said = name === undefined ? '' : `; there is no "${name}"`;
    process.stderr.write(`chordae schema: name one of ${Object.keys(publishedSchemas).join(', ')}${said}.\n`);
    return 2;
  }
  process.stdout.write(`${JSON.stringify(jsonSchemaOf(name as keyof typeof publishedSchemas), null, 2)}\n`);
  return 0;
}
