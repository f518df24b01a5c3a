/** The one error of this folder: input that no rule can take. */
export class TradeError extends Error {
  /**
   * @param {string} code the reason
   * @param {string | null} [field] the value at fault
   */
  constructor(code, field = null) {
    super(field === null ? code : `${field}: ${code}`);
    this.name = 'TradeError';
    this.code = code;
    this.field = field;
  }
}
