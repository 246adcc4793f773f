import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { expect, test } from 'vitest';
import { textOf } from '../workedExamples';

/** docs/method.md says of every method where it is used; here that is held against what imports it. */

const sources = (folder: string): string[] =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return sources(path);
    return /\.tsx?$/.test(entry.name) ? [path] : [];
  });

/** The names of the files in lib/stats that a file imports. */
const importedBy = (path: string): string[] =>
  [...readFileSync(path, 'utf8').matchAll(/from '(?:\.\/|(?:\.\.\/)+(?:lib\/)?stats\/)(\w+)'/g)].map(
    ([, name]) => name ?? '',
  );

const methods = sources('lib/stats').map((path) => basename(path, '.ts'));
const needs = new Map(methods.map((name) => [name, importedBy(join('lib', 'stats', `${name}.ts`))]));

/** What pages and calculations reach, by way of other methods too. */
function reached(): ReadonlySet<string> {
  const found = new Set<string>();
  const reach = (name: string): void => {
    if (found.has(name) || !needs.has(name)) return;
    found.add(name);
    needs.get(name)?.forEach(reach);
  };
  [...sources('lib'), ...sources('app')]
    .filter((path) => !path.startsWith(join('lib', 'stats')))
    .flatMap((path) => importedBy(path).filter((name) => readFileSync(path, 'utf8').includes(`stats/${name}'`)))
    .forEach(reach);
  return found;
}

const table = (textOf('method.md').split('### Where each method is used')[1] ?? '')
  .split('\n')
  .filter((line) => line.startsWith('| '))
  .map((line) => line.split('|').map((cell) => cell.trim()))
  .map(([, , files = '', by = '']) => ({ files: files.split(', '), by }))
  .filter(({ files }) => files.every((name) => methods.includes(name)));

test('the document knows what is held for checks only', () => {
  const used = reached();
  const checksOnly = methods.filter((name) => !used.has(name));
  const told = table.filter(({ by }) => by === 'checks only').flatMap(({ files }) => files);
  // What only such a method rests on is told with it.
  const parts = new Set(told.flatMap((name) => needs.get(name) ?? []));
  expect(checksOnly.filter((name) => !told.includes(name) && !parts.has(name))).toEqual([]);
  expect(told.filter((name) => used.has(name))).toEqual([]);
});

test('every other method that the document names is used', () => {
  const used = reached();
  const told = table.filter(({ by }) => by !== 'checks only').flatMap(({ files }) => files);
  expect(told.length).toBeGreaterThan(15);
  expect(told.filter((name) => !used.has(name))).toEqual([]);
});
