/** The version in package.json, put in by the bundler. */
declare const LOBEWRIGHT_VERSION: string;
