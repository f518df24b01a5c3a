/** Error of the rules: invalid input. */
export class TradeError extends Error {
  /**
   * @param {string} code problem code
   * @param {string | null} [field] name of the invalid value
   */
  constructor(code, field = null) {
    super(field === null ? code : `${field}: ${code}`);
    this.name = 'TradeError';
    this.code = code;
    this.field = field;
  }
}
