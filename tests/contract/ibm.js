// The IBM ruleset, with what this API decides otherwise, rule by rule.
const ibm = require('@ibm-cloud/openapi-ruleset');
const rules = require('@ibm-cloud/openapi-ruleset/src/rules');
const { pattern } = require('@stoplight/spectral-functions');

const KEBAB = '[a-z0-9]+(-[a-z0-9]+)*';
const MEMBER = '[a-z][a-z0-9]*(_[a-z0-9]+)+';
const KEBAB_OR_MEMBER = `(${KEBAB}|${MEMBER})`;
const NUMBER = '[0-9]+([.][0-9]+)?';

function named(given, description, match) {
  return {
    given,
    description,
    message: description,
    severity: 'error',
    then: { function: pattern, functionOptions: { match: `^(${match})$` } },
  };
}

// A rule as it is, but for what hangs on the members of this name.
function but(rule, ...members) {
  const check = rule.then.function;
  const outside = (...given) => check(...given).filter(({ path }) => !members.some((each) => path.includes(each)));
  return { ...rule, then: { ...rule.then, function: outside } };
}

function withKeywords(rule, ...more) {
  const { keywordAllowList } = rule.then.functionOptions;
  return { ...rule, then: { ...rule.then, functionOptions: { keywordAllowList: [...keywordAllowList, ...more] } } };
}

module.exports = {
  extends: ibm,
  rules: {
    // Addresses and words are in kebab case and operation ids in camel case, not all in snake case.
    'ibm-path-segment-casing-convention': 'off',
    'addresses-in-kebab-case': named(
      '$.paths[*]~',
      'addresses are in kebab case',
      `(/(${KEBAB}|[{][a-z_]+[}]))+|/openapi[.]json|/[.]well-known/${KEBAB}`
    ),
    'ibm-enum-casing-convention': 'off',
    'words-in-kebab-case': named(
      '$..enum[*]',
      'words are in kebab case; members are named as they are, sensor formats by their measures, such as 36x24',
      `${KEBAB}|(${KEBAB_OR_MEMBER}[.])*${KEBAB_OR_MEMBER}|${NUMBER}x${NUMBER}|[*]`
    ),
    'ibm-operationid-casing-convention': 'off',
    'operation-ids-in-camel-case': named(
      '$.paths[*][get,post].operationId',
      'operation ids are in camel case',
      '[a-z][A-Za-z0-9]*'
    ),
    // Errors are problem details (RFC 9457): their own media type, their own members.
    'ibm-error-content-type-is-json': 'off',
    'ibm-error-response-schemas': 'off',
    // 400 is for what cannot be parsed, 422 for every fault of a field.
    'ibm-response-status-codes': 'off',
    // null says that the data given do not determine the value; a remark names the missing datum.
    'ibm-no-nullable-properties': 'off',
    // A kit is answered as it is sent, and what a camera or lens does not have it leaves out. Steps are told where asked for,
    // the scatter of a lens only where frames told it, and estimates only where a lens lacks data.
    'ibm-required-enum-properties-in-response': but(rules.requiredEnumPropertiesInResponse, 'kit', 'next_measurements'),
    'ibm-required-array-properties-in-response': but(
      rules.requiredArrayPropertiesInResponse,
      'kit',
      'steps',
      'scatter_covariance',
      'measured',
      'incomplete_lenses',
      'measure_first'
    ),
    // What an estimate is based on is not a date.
    'ibm-use-date-based-format': but(rules.useDateBasedFormat, 'based_on'),
    // A set-up or a kit within an answer is part of another operation's request, and described there.
    'ibm-well-defined-dictionaries': but(rules.wellDefinedDictionaries, 'document', 'kit_document', 'whole_kit'),
    // A covariance is a matrix, given by rows.
    'ibm-no-array-of-arrays': but(rules.arrayOfArrays, 'covariance', 'scatter_covariance'),
    // Every list of the catalogue is called records.
    'ibm-collection-array-property': 'off',
    // Since OpenAPI 3.1 these keywords say what the bytes of a string are; the rule's list of keywords leaves them out.
    // A member that is kept under a former name is marked by a keyword of JSON Schema that the list leaves out, too.
    'ibm-schema-keywords': withKeywords(rules.schemaKeywords, 'contentEncoding', 'contentMediaType', 'deprecated'),
    // The addresses for operators and for this document carry no version.
    'ibm-major-version-in-path': 'off',
  },
};
