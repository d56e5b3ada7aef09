/** Names that the manifest and the sources must agree on. */

/** The client's; also the prefix of the settings. */
export const clientId = 'lobewright';

export const languageId = 'lobe';

/** The library's own files, which the server holds. */
export const libraryScheme = 'lobe-library';

export const chartViewType = 'lobewright.chart';

export const symptomsViewType = 'lobewright.symptoms';

export const previewViewType = 'lobewright.preview';
