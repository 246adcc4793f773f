/** As much of the XML reader as is used here; it comes without types of its own. */
declare module 'saxen' {
  export type Decode = (text: string) => string;
  export class Parser {
    on(
      event: 'openTag',
      tell: (name: string, attributes: () => Readonly<Record<string, string>>, decode: Decode) => void,
    ): this;
    on(event: 'closeTag', tell: (name: string) => void): this;
    on(event: 'text', tell: (text: string, decode: Decode) => void): this;
    on(event: 'cdata', tell: (text: string) => void): this;
    on(event: 'error', tell: (error: Error) => void): this;
    on(event: 'warn', tell: (warning: Error) => void): this;
    write(text: string): this;
    end(): unknown;
  }
}
