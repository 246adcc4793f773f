import nextPlugin from '@next/eslint-plugin-next';
import { importX } from 'eslint-plugin-import-x';
import jsxA11y from 'eslint-plugin-jsx-a11y';
import reactHooks from 'eslint-plugin-react-hooks';
import tseslint from 'typescript-eslint';

// files -> log -> calc -> results -> questions -> pages: each floor may lean on those before it, never on those after.
const floors = [
  ['lib/units', []],
  ['lib/calc', ['lib/units']],
  ['lib/stats', ['lib/units']],
  ['lib/find', ['lib/calc', 'lib/stats']],
  ['lib/quote', ['lib/units', 'lib/stats']],
  ['lib/log', ['lib/units']],
  ['lib/keep', ['lib/units', 'lib/log']],
  ['lib/words', ['lib/units', 'lib/calc', 'lib/log', 'lib/find', 'lib/quote']],
  ['lib/store', ['lib/units', 'lib/calc', 'lib/log', 'lib/stats', 'lib/find', 'lib/quote']],
  ['lib/report', ['lib/units', 'lib/calc', 'lib/stats', 'lib/quote', 'lib/log', 'lib/store', 'lib/words', 'lib/keep']],
  ['lib/charts', ['lib/units', 'lib/words']],
  ['lib/site', []],
  [
    'lib/headless',
    ['lib/units', 'lib/calc', 'lib/log', 'lib/store', 'lib/stats', 'lib/words', 'lib/report', 'lib/keep'],
  ],
];
const zones = floors.map(([target, may]) => ({
  target: `./${target}`,
  from: [
    './app',
    './data-demo',
    './tests',
    ...floors
      .map(([floor]) => `./${floor}`)
      .filter((floor) => floor !== `./${target}` && !may.includes(floor.slice(2))),
  ],
  message: 'Data goes one way: files, log, calc, results, questions, pages.',
}));

export default tseslint.config(
  { ignores: ['.next/**', 'out/**', 'next-env.d.ts', 'test-results/**'] },
  ...tseslint.configs.strictTypeChecked,
  {
    languageOptions: {
      parserOptions: { projectService: { allowDefaultProject: ['eslint.config.js', 'next.config.js'] } },
    },
    plugins: { 'import-x': importX, 'react-hooks': reactHooks, 'jsx-a11y': jsxA11y, '@next/next': nextPlugin },
    settings: { 'import-x/resolver': { node: { extensions: ['.ts', '.tsx', '.js'] } } },
    rules: {
      'import-x/no-cycle': 'error',
      'import-x/no-restricted-paths': ['error', { zones }],
      ...reactHooks.configs.recommended.rules,
      // Warns that a library can not be compiled ahead; the compiler it speaks of is not used here.
      'react-hooks/incompatible-library': 'off',
      ...jsxA11y.configs.recommended.rules,
      ...nextPlugin.configs.recommended.rules,
      'max-lines': ['error', { max: 400, skipBlankLines: true, skipComments: true }],
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      '@typescript-eslint/no-non-null-assertion': 'error',
    },
  },
  { files: ['*.js'], ...tseslint.configs.disableTypeChecked },
);
