/**
 * Long passphrases that anyone would try first, in small letters and digits only. From memory: runs of keys, counting,
 * well-known phrases and the words on every list of bad passwords, doubled or lengthened to twelve characters.
 */
export const commonPassphrases: ReadonlySet<string> = new Set(
  (
    'passwordpassword password1234 password12345 password123456 passwordpass mypassword123 mypassphrase thisismypassword ' +
    'passphrase123 passphrasepassphrase administrator administrator1 adminadminadmin adminpassword letmeinletmein letmeinplease ' +
    'letmein123456 welcome12345 welcomewelcome welcometotheshop changeme1234 changemechangeme changemeplease qwertyuiop123 ' +
    'qwertyuiopasdf qwertyqwerty qwertyqwerty1 qwerty123456 qwertyuiopas asdfghjkl123 asdfasdfasdf zxcvbnmzxcvbnm 1q2w3e4r5t6y ' +
    '1qaz2wsx3edc qazwsxedcrfv 123456789012 1234567890123 12345678901234 123456123456 123123123123 111222333444 1234567890qwerty ' +
    'abcdefghijkl abcdefghijklm abcdefghijklmnopqrstuvwxyz abc123abc123 abcd1234abcd iloveyouiloveyou iloveyou1234 iloveyouforever ' +
    'correcthorsebatterystaple correcthorse trustno1trustno1 secretsecret topsecret123 supersecret1 opensesame123 opensesameopen ' +
    'monkeymonkey dragondragon sunshine1234 sunshinesunshine princess1234 football1234 baseball1234 superman1234 masterpassword ' +
    'defaultpassword temporarypassword nopasswordhere ihavenopassword idontknowwhat idontremember forgetmenot123 inletlogbook ' +
    'inletlogbook1 inletlogbook123 shorepower123 shorepower120 campervan123 vanvanvanvan electrician1 electrician123 fitterfitter ' +
    'whateverwhatever abcabcabcabc testtesttest testpassword testing12345 guestguestguest useruseruser computer1234 internet1234 ' +
    'starwars1234 loveloveloove blink182blink michael12345 jennifer1234 hello123hello hellohello123 hellothere123 helloworld123'
  ).split(' '),
);
