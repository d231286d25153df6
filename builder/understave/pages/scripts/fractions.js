/* Exact fractions of whole numbers without a bound, always in lowest terms. */

const gcd = (one, other) => {
  let [a, b] = [one < 0n ? -one : one, other];
  while (b) [a, b] = [b, a % b];
  return a;
};

/** Return the least common multiple of two whole numbers. */
export const lcm = (one, other) => (one / gcd(one, other)) * other;

export class Fraction {
  constructor(over, under = 1n) {
    const common = gcd(over, under);
    this.over = over / common;
    this.under = under / common;
  }

  plus(other) {
    return new Fraction(this.over * other.under + other.over * this.under, this.under * other.under);
  }

  minus(other) {
    return new Fraction(this.over * other.under - other.over * this.under, this.under * other.under);
  }

  times(other) {
    return new Fraction(this.over * other.over, this.under * other.under);
  }

  by(other) {
    const sign = other.over < 0n ? -1n : 1n;
    return new Fraction(sign * this.over * other.under, sign * this.under * other.over);
  }

  less(other) {
    return this.over * other.under < other.over * this.under;
  }

  is(other) {
    return this.over === other.over && this.under === other.under;
  }

  /** The largest whole number that isn't above. */
  floor() {
    const whole = this.over / this.under;
    return this.over < whole * this.under ? whole - 1n : whole;
  }

  /** The smallest whole number that isn't below. */
  ceil() {
    return -new Fraction(-this.over, this.under).floor();
  }

  valueOf() {
    return Number(this.over) / Number(this.under);
  }

  toString() {
    return this.under === 1n ? `${this.over}` : `${this.over}/${this.under}`;
  }

  toJSON() {
    return this.toString();
  }
}

/** Return a whole number, or one part of it, as a fraction. */
export const fraction = (over, under = 1) => new Fraction(BigInt(over), BigInt(under));

/** Return the fraction that a text such as 3/8 says. */
export const parseFraction = (text) => fraction(...text.split("/"));

export const NONE = fraction(0);
export const larger = (one, other) => (one.less(other) ? other : one);
export const smaller = (one, other) => (one.less(other) ? one : other);
