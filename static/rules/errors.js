/** Error of the rules: invalid input. */
export class RuleError extends Error {
  /**
   * @param {string} code problem code
   * @param {string | null} [field] name of the invalid value
   */
  constructor(code, field = null) {
    super(field === null ? code : `${field}: ${code}`);
    this.name = 'RuleError';
    this.code = code;
    this.field = field;
  }
}
