// Lint rules of `make check`, in addition to types (tsc) and format (prettier).
export default [
  { ignores: ['**/node_modules/', 'static/packed/', 'static/vendor/', '.tools/', '.venv/'] },
  {
    files: ['**/*.js', '**/*.mjs'],
    languageOptions: { ecmaVersion: 'latest', sourceType: 'module' },
    linterOptions: { reportUnusedDisableDirectives: 'error' },
    rules: {
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      'max-len': ['error', { code: 120 }],
      'max-lines': ['error', 300],
      'max-lines-per-function': ['error', 60],
      'no-else-return': 'error',
      'no-unused-vars': ['error', { ignoreRestSiblings: true }],
      'no-useless-return': 'error',
      'no-var': 'error',
      'prefer-const': 'error',
    },
  },
];
