import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.Arrays;
import org.bouncycastle.asn1.cms.Attribute;
import org.bouncycastle.asn1.cms.ContentInfo;
import org.bouncycastle.asn1.pkcs.PKCSObjectIdentifiers;
import org.bouncycastle.cert.X509CertificateHolder;
import org.bouncycastle.cms.CMSProcessableByteArray;
import org.bouncycastle.cms.CMSSignedData;
import org.bouncycastle.cms.SignerInformation;
import org.bouncycastle.cms.jcajce.JcaSimpleSignerInfoVerifierBuilder;
import org.bouncycastle.jce.provider.BouncyCastleProvider;
import org.bouncycastle.tsp.TimeStampToken;

/** A detached CMS and what it signs: prints whether BouncyCastle calls its signature verified and the timestamp over it valid. */
public class CheckTimestamp {
  public static void main(String[] files) throws Exception {
    byte[] cms = Files.readAllBytes(Path.of(files[0]));
    byte[] content = Files.readAllBytes(Path.of(files[1]));
    CMSSignedData signed = new CMSSignedData(new CMSProcessableByteArray(content), cms);
    SignerInformation signer = signed.getSignerInfos().getSigners().iterator().next();
    X509CertificateHolder own =
        (X509CertificateHolder) signed.getCertificates().getMatches(signer.getSID()).iterator().next();
    System.out.println("signature " + signer.verify(verifier().build(own)));
    Attribute attribute = signer.getUnsignedAttributes().get(PKCSObjectIdentifiers.id_aa_signatureTimeStampToken);
    TimeStampToken token = new TimeStampToken(ContentInfo.getInstance(attribute.getAttributeValues()[0]));
    X509CertificateHolder authority =
        (X509CertificateHolder) token.getCertificates().getMatches(token.getSID()).iterator().next();
    token.validate(verifier().build(authority));
    byte[] digest = MessageDigest.getInstance("SHA-256").digest(signer.getSignature());
    System.out.println("timestamp " + Arrays.equals(digest, token.getTimeStampInfo().getMessageImprintDigest()));
  }

  private static JcaSimpleSignerInfoVerifierBuilder verifier() {
    return new JcaSimpleSignerInfoVerifierBuilder().setProvider(new BouncyCastleProvider());
  }
}
